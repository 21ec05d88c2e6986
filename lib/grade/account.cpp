#include <algorithm>
#include <cmath>

#include "grade/emitter.hpp"

/// Where filament and time are counted, so that the report's tables add up.
namespace durograde::grade {

using program::Span;
using program::Step;
using program::StepKind;

void Emitter::account_layer(const Span& span, std::size_t pieces, double began_s, long swaps) {
    constexpr double same_height_mm = 1e-6;
    auto& layers = figures_.layer_list;
    const bool goes_on = !layers.empty() && layers.back().layer == span.layer &&
                         std::abs(layers.back().z_mm - span.z_mm) <= same_height_mm;
    if (!goes_on) layers.push_back({span.layer, span.z_mm, 0.0, 0, 0});
    layers.back().time_s += clock_.now_s() - began_s;
    layers.back().swaps += swaps;
    layers.back().pieces += static_cast<long>(pieces);
}

/// A piece that runs through several zones of one setting counts in each by its share.
void Emitter::account_piece(const Piece& piece, double seconds) {
    figures_.printing_s += seconds;
    tool_figures_->printing_s += seconds;
    double rest_s = seconds;
    for (const ZoneShare& other : piece.other_zones) {
        zone_s_[other.zone] += seconds * other.share;
        rest_s -= seconds * other.share;
    }
    zone_s_[piece.zone] += rest_s;
}

/// `fed_mm` of the piece's filament were fed.
void Emitter::account_coasted(const Span& span, const Piece& piece, double fed_mm) {
    const double all_mm =
        filament_between(span, piece.begin, piece.end) * stations_[piece.station].flow;
    coasted_mm_[{piece.zone, piece.part}] += all_mm - fed_mm;
}

/// What stands as it is, line by line.
void Emitter::account_raw(const Span& span) {
    const double began_s = clock_.now_s() - figures_.waiting_s;
    raw_drawn_mm_[tool_] = span.before_raw.retracted_mm;
    for (const Step& step : span.raw_steps) {
        raw_step(step);
        account_raw(step);
        stand_printed(step);
    }
    // Its waits for heat stand among the waits.
    const double ended_s = clock_.now_s() - figures_.waiting_s;
    if (!grading_) figures_.start_and_end.printing_s += ended_s - began_s;
}

/// What is printed stands in the way, also a pillar that is laid straight up.
void Emitter::stand_printed(const Step& step) {
    const bool is_pillar = step.primes && step.to.z > step.from.z;
    if (step.kind != StepKind::bead && !is_pillar) return;
    highest_mm_ = std::max(highest_mm_, step.to.z);
    if (is_pillar) {
        if (!pillars_) pillars_.emplace(plan_.machine.reach_x, plan_.machine.reach_y);
        pillars_->print(step.to, step.to);
    }
    if (!heights_) return;
    constexpr int arc_chords = 32;
    const int chords = step.is_arc ? arc_chords : 1;
    Point from = step.from;
    for (int c = 1; c <= chords; ++c) {
        const Point to =
            step.is_arc ? along(step.arc, step.from, step.to, double(c) / chords) : step.to;
        heights_->print(from, to);
        from = to;
    }
}

void Emitter::account_raw(const Step& step) {
    if (!step.moves()) return;
    const bool is_bead = step.kind == StepKind::bead;
    double& drawn_mm = raw_drawn_mm_[tool_];
    const double extruded_mm = is_bead ? step.e_mm : std::max(0.0, step.e_mm - drawn_mm);
    drawn_mm = is_bead ? 0.0 : std::max(0.0, drawn_mm - step.e_mm);
    tool_figures_->filament_mm += extruded_mm;
    if (grading_) {
        figures_.restart_mm3 += extruded_mm * area_mm2_;
        return;
    }
    figures_.start_and_end.filament_mm += extruded_mm;
    figures_.start_and_end.volume_mm3 += extruded_mm * area_mm2_;
    if (is_bead) figures_.start_and_end.length_mm += step.length_mm();
}

}  // namespace durograde::grade
