#include "check/bead_watch.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <limits>

namespace durograde::check {
namespace {

constexpr double written_k = 0.0006;  // temperatures are written with three decimals
constexpr double crossing_mm = 2e-4;  // to which a zone boundary is found, on both sides
// A feed that is lowered for the largest flow may be lowered to a round number below.
constexpr double feed_step_mm_min = 30.0;

std::string number_text(const char* format, double a, double b) {
    std::array<char, 96> text{};
    std::snprintf(text.data(), text.size(), format, a, b);
    return text.data();
}

bool is_made_for(const Target& target, int tool, double set_c) {
    return target.tool == tool &&
           (!(target.celsius > 0) || std::abs(target.celsius - set_c) <= written_k);
}

}  // namespace

BeadWatch::BeadWatch(const plan::Plan& plan, const Layer& layer, double zone_slack_mm,
                     Ledger& ledger)
    : plan_(plan),
      layer_(layer),
      zone_slack_mm_(zone_slack_mm),
      area_mm2_(plan.machine.filament_area_mm2()),
      ledger_(ledger) {}

const Target& BeadWatch::bead(const Match& match, const Act& act, int tool, double set_c,
                              const Precision& precision, Lines lines) {
    const Segment& segment = layer_.segments[match.segment];
    const Run& run = layer_.runs[segment.run];
    const bool within = run.end_mm >= segment.begin_mm + segment.length_mm * match.to;
    if (!(within && segment.run == known_run_)) {
        known_target_ = judge_tool(match, act, tool, set_c, precision, lines);
        known_run_ = within ? segment.run : no_run;
    }
    const Target& target = known_target_;
    judge_amount(match, act, target, precision, lines);
    if (act.feed_mm_min != segment.feed_mm_min ||
        (!target.keeps && plan_.find_tool(tool) != nullptr)) {
        judge_feed(segment, act, target, precision, lines);
    }
    return known_target_;
}

// --- tool ---------------------------------------------------------------------------------------

/// The target of the run that the bead lies in, where that is binding; else of any run of the
/// path that tool and set-point are right for, and of several the one whose filament fits best.
/// Where none is right, one with the same tool.
const Target& BeadWatch::counts_as(const Match& match, const Act& act, int tool,
                                   double set_c) const {
    const Segment& segment = layer_.segments[match.segment];
    const Stroke& stroke = layer_.strokes[segment.stroke];
    const double middle_mm = segment.begin_mm + segment.length_mm * (match.from + match.to) / 2;
    std::uint32_t here = segment.run;
    while (here + 1 < stroke.last_run && layer_.runs[here].end_mm < middle_mm) ++here;
    const Run& run = layer_.runs[here];
    if (run.binding && is_made_for(run.target, tool, set_c)) return run.target;
    const double fed = act.e_mm / (segment.e_mm * (match.to - match.from));
    const Target* best = nullptr;
    const Target* same_tool = &run.target;
    for (std::uint32_t i = stroke.path_first_run; i < stroke.path_last_run; ++i) {
        const Target& target = layer_.runs[i].target;
        if (target.tool == tool) same_tool = &target;
        if (!is_made_for(target, tool, set_c)) continue;
        if (best == nullptr || std::abs(target.flow - fed) < std::abs(best->flow - fed))
            best = &target;
    }
    return best != nullptr ? *best : *same_tool;
}

Target BeadWatch::judge_tool(const Match& match, const Act& act, int tool, double set_c,
                             const Precision& precision, Lines lines) {
    const Segment& segment = layer_.segments[match.segment];
    const Stroke& stroke = layer_.strokes[segment.stroke];
    const double begin = segment.begin_mm + segment.length_mm * match.from;
    const double end = segment.begin_mm + segment.length_mm * match.to;
    const double slack = zone_slack_mm_ + crossing_mm + 2 * precision.xy_mm;
    ledger_.note(Invariant::right_tool, 0.0, slack);
    const Target& counted = counts_as(match, act, tool, set_c);
    const bool has_place = is_made_for(counted, tool, set_c);
    for (std::uint32_t run = segment.run; run < stroke.last_run && layer_.runs[run].begin_mm < end;
         ++run) {
        const Target& target = layer_.runs[run].target;
        // A set-point that no run of the stroke asks for is told by the heat.
        if (is_made_for(target, tool, set_c) || (target.tool == tool && !has_place)) continue;
        judge_run(stroke, run, {begin, end, tool, set_c, slack}, lines);
    }
    return counted;
}

/// A bead is printed with another tool than this run asks for, or with that one at another of its
/// temperatures. That is right next to a boundary, and where the run was too short and joined a
/// neighbour.
void BeadWatch::judge_run(const Stroke& stroke, std::uint32_t index, const Printed& bead,
                          Lines lines) {
    const Run& run = layer_.runs[index];
    const bool first = index == stroke.first_run, last = index + 1 == stroke.last_run;
    const double low = std::max(bead.begin_mm, run.begin_mm);
    const double high = std::min(bead.end_mm, run.end_mm);
    // How far into the run the wrong stretch reaches, seen from the nearer of its boundaries.
    const double from_begin = first ? run.end_mm : high - run.begin_mm;
    const double from_end = last ? run.end_mm : run.end_mm - low;
    const double depth =
        high > low ? std::min({from_begin, from_end, run.end_mm - run.begin_mm}) : 0.0;
    if (depth <= bead.slack_mm) return ledger_.note(Invariant::right_tool, depth, bead.slack_mm);
    const bool is_tool = run.target.tool == bead.tool;
    bool joins = false;
    for (std::uint32_t i = stroke.path_first_run; i < stroke.path_last_run && !run.binding; ++i) {
        const Target& other = layer_.runs[i].target;
        joins = joins ||
                (is_tool ? is_made_for(other, bead.tool, bead.set_c) : other.tool == bead.tool);
    }
    if (joins) {
        return ledger_.note(Invariant::right_tool, run.end_mm - run.begin_mm,
                            plan_.split.shortest_mm + zone_slack_mm_);
    }
    if (is_tool) {
        return ledger_.fail(Invariant::right_heat,
                            {std::abs(run.target.celsius - bead.set_c), written_k}, lines,
                            number_text("printed at %.1f °C where %.1f °C are asked for",
                                        bead.set_c, run.target.celsius));
    }
    const std::string wanted = run.target.tool == Target::no_tool
                                   ? std::string("no zone of the plan holds here")
                                   : "tool " + std::to_string(run.target.tool) + " is asked for";
    ledger_.fail(Invariant::right_tool, {depth, bead.slack_mm}, lines,
                 "printed with tool " + std::to_string(bead.tool) + ", but " + wanted);
}

// --- amount and feed ----------------------------------------------------------------------------

/// At a cut the filament is shared out before the place is rounded, also where the place is then an
/// end of the segment.
void BeadWatch::judge_amount(const Match& match, const Act& act, const Target& target,
                             const Precision& precision, Lines lines) {
    if (in_doubt_) {
        ledger_.fail(Invariant::right_amount, in_doubt_->off, in_doubt_->lines, in_doubt_->text);
        in_doubt_.reset();
    }
    const Segment& segment = layer_.segments[match.segment];
    const double whole_mm = segment.e_mm * target.flow;
    const double share = match.to - match.from;
    const double off_mm = std::abs(act.e_mm - whole_mm * share);
    // E is rounded once at either end; a count in absolute numbers may be off by a hundredth of
    // that more.
    const double written_mm = precision.e_mm * 1.02 + whole_mm * 1e-9;
    const double cut_mm = whole_mm / segment.length_mm * 1.5 * precision.xy_mm;
    const bool is_cut = share < 1.0 || begins_;
    begins_ = false;
    const double limit_mm = written_mm + (is_cut ? cut_mm : 0.0);
    if (off_mm <= limit_mm) return ledger_.note(Invariant::right_amount, off_mm, limit_mm);
    std::string text =
        number_text("%.5f mm of filament in place of %.5f", act.e_mm, whole_mm * share);
    if (off_mm <= written_mm + cut_mm) {
        in_doubt_ = Doubt{{off_mm, limit_mm}, lines, std::move(text)};
    } else {
        ledger_.fail(Invariant::right_amount, {off_mm, limit_mm}, lines, std::move(text));
    }
}

/// Where a run was too short and joined a neighbour, that one's band counts: they may have one tool
/// at one set-point and be told apart by the feed alone.
void BeadWatch::judge_feed(const Segment& segment, const Act& act, const Target& target,
                           const Precision& precision, Lines lines) {
    if (is_feed_of(segment, act, target, precision)) return;
    const Stroke& stroke = layer_.strokes[segment.stroke];
    const double end_mm = segment.begin_mm + segment.length_mm;
    bool may_join = false;
    for (std::uint32_t i = segment.run; i < stroke.last_run && layer_.runs[i].begin_mm < end_mm;
         ++i) {
        may_join = may_join || !layer_.runs[i].binding;
    }
    for (std::uint32_t i = stroke.path_first_run; may_join && i < stroke.path_last_run; ++i) {
        const Target& other = layer_.runs[i].target;
        const bool is_alike = other.tool == target.tool && other.celsius == target.celsius;
        if (is_alike && is_feed_of(segment, act, other, precision)) return;
    }
    ledger_.fail(
        Invariant::settings_kept, {1.0}, lines,
        number_text("feed of %.1f mm/min in place of %.1f", act.feed_mm_min, segment.feed_mm_min));
}

bool BeadWatch::is_feed_of(const Segment& segment, const Act& act, const Target& target,
                           const Precision& precision) const {
    const plan::Tool* tool = plan_.find_tool(target.tool);
    const double asked = segment.feed_mm_min, has = act.feed_mm_min;
    const bool is_asked = std::abs(has - asked) <= precision.feed_mm_min * 0.51 + asked * 1e-9;
    const double volume_mm3 = segment.e_mm * target.flow * area_mm2_;
    const double feed_of_flow = 60.0 * segment.length_mm / volume_mm3;
    double most_flow =
        target.most_mm3_s > 0 ? target.most_mm3_s : std::numeric_limits<double>::infinity();
    if (tool != nullptr && tool->max_flow_mm3_s)
        most_flow = std::min(most_flow, *tool->max_flow_mm3_s);
    const double most = most_flow * feed_of_flow;
    const double fastest = plan_.machine.fastest_mm_min();
    const double least = std::min(target.least_mm3_s * feed_of_flow, std::max(fastest, asked));
    if (asked > most * (1 + 1e-9)) {
        const bool is_lowered = has <= most + precision.feed_mm_min &&
                                has >= most - feed_step_mm_min - precision.feed_mm_min;
        return is_lowered || (target.keeps && is_asked);
    }
    if (asked < least * (1 - 1e-9)) {
        return has >= std::min(least, most) - precision.feed_mm_min &&
               has <= most + precision.feed_mm_min &&
               has <= least + feed_step_mm_min + precision.feed_mm_min;
    }
    return is_asked;
}

}  // namespace durograde::check
