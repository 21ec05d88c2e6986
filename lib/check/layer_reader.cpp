#include "check/layer_reader.hpp"

#include <algorithm>
#include <cmath>

#include "text/diagnostic.hpp"

namespace durograde::check {
namespace {

constexpr double same_height_mm = 1e-6;
// A rising path has no layers to be cut at: it is taken in chunks of this size.
constexpr std::size_t chunk_segments = std::size_t{1} << 16;

}  // namespace

void refuse(const Reader& reader) {
    throw Failure(
        Exit::bad_input,
        Diagnostic{.code = "unreadable-line",
                   .text = reader.act().fault,
                   .mend = "slice the program again, or correct the line",
                   .place = {reader.name(), reader.raw().number, reader.act().fault_column},
                   .source_line = std::string(reader.raw().text.substr(0, 4096))});
}

bool LayerReader::fetch() {
    if (!reader_.next()) return false;
    const Act& act = reader_.act();
    if (act.kind == Kind::fault) refuse(reader_);
    if (act.kind == Kind::tool) retractions_.use(act.tool);
    pending_ = true;
    return true;
}

bool LayerReader::next(Layer& layer) {
    layer.clear();
    layer.retracts = has_retracted_;
    bool any = false;
    while (pending_ || fetch()) {
        if (belongs_to_next(layer)) break;
        take(layer);
        pending_ = false;
        any = true;
    }
    if (!pending_ && !ended_) {
        ended_ = any = true;
        layer.given_back_mm = given_back_mm_;
        layer.end_dip_mm = dip_.end();
        layer.pins.push_back({static_cast<std::uint32_t>(layer.segments.size()),
                              {},
                              reader_.raw().number,
                              Standing::of(reader_.state()),
                              notes_.take()});
        // No bead follows: what such a tool has retracted is its own affair.
        std::erase_if(layer.pins, [&](const Pin& pin) {
            return pin.gives_back && pin.segments_before == layer.segments.size();
        });
    }
    const bool mid_path = pending_ && in_stroke_ && !layer.strokes.empty();
    layer.goes_on = pending_ && layer.sloped && layer.segments.size() >= chunk_segments;
    if (mid_path) layer.strokes.back().broken_off = true;
    return any;
}

bool LayerReader::belongs_to_next(const Layer& layer) const {
    if (reader_.act().kind != Kind::bead) return false;
    if (layer.sloped && layer.segments.size() >= chunk_segments) return true;
    if (in_stroke_ || layer.strokes.empty()) return false;
    return std::abs(reader_.act().from.z - last_z_mm_) > same_height_mm;
}

void LayerReader::take(Layer& layer) {
    const Act& act = reader_.act();
    sayings_.see(act, reader_.state(), reader_.line());
    notes_.see(reader_);
    if (act.kind == Kind::bead) return take_bead(layer);
    if (act.kind == Kind::progress) return;
    in_stroke_ = false;
    goes_on_ = goes_on_ && act.kind == Kind::nothing;
    if (reader_.state().firsts() > firsts_) {
        pin_passed_ = true;
        layer.loose_notes += notes_.take();
    }
    firsts_ = reader_.state().firsts();
    if (act.kind == Kind::pin) {
        add_pin(layer);
        if (!is_understood(reader_.line())) sayings_.pass_barrier();
    }
    if (act.kind == Kind::heat) take_heat();
    const bool selects = act.kind == Kind::tool;
    swapped_ = swapped_ || selects;
    selections_ += selects ? 1 : 0;
    if (act.moves()) {
        layer.hits = layer.hits || (heights_ && heights_->is_hit_by(act));
        dip_.move(act, reader_.state());
        way_.add(act);
    }
    if (act.kind == Kind::filament || act.kind == Kind::wipe) take_filament(layer);
}

void LayerReader::take_heat() {
    const Act& act = reader_.act();
    if (act.tool < 0) {
        for (auto& [tool, heat] : heats_) heat.waited = true;
        return;
    }
    Heat& heat = heats_[act.tool];
    if (act.sets && act.celsius != heat.set_c) heat = {act.celsius, false};
    heat.waited = heat.waited || act.waits;
}

void LayerReader::add_pin(Layer& layer) {
    pin_passed_ = true;
    layer.pins.push_back({static_cast<std::uint32_t>(layer.segments.size()),
                          std::string(reader_.command()), reader_.raw().number,
                          Standing::of(reader_.state()), notes_.take()});
}

/// What is laid where the nozzle stands belongs there: nothing moves across it.
void LayerReader::take_filament(Layer& layer) {
    const Act& act = reader_.act();
    has_retracted_ = has_retracted_ || (act.kind == Kind::filament && act.e_mm < 0);
    if (swapped_ && act.kind == Kind::filament && act.e_mm > 0) given_back_mm_.push_back(act.e_mm);
    const Retractions::Drawn drawn = retractions_.current();
    const double surplus_mm = retractions_.apply(act);
    if (Retractions::feeds_in_place(act, drawn, surplus_mm)) {
        add_pin(layer);
        layer.pins.back().gives_back = swapped_;
        layer.pins.back().fed_mm = surplus_mm;
        if (heights_ && act.to.z > act.from.z) heights_->print(act);
        return;
    }
    if (!(surplus_mm > 0) || act.kind != Kind::filament) return;
    layer.surplus_mm += surplus_mm;
    ++layer.surpluses;
}

void LayerReader::take_bead(Layer& layer) {
    const Act& act = reader_.act();
    const bool begins = !in_stroke_ || layer.strokes.empty();
    if (begins) begin_stroke(layer);
    in_stroke_ = has_bead_ = goes_on_ = true;
    pin_passed_ = swapped_ = false;
    given_back_mm_.clear();
    Stroke& stroke = layer.strokes.back();
    Segment segment;
    segment.to = act.to;
    segment.e_mm = act.e_mm - (begins ? stroke.restarts_mm : 0.0);
    segment.feed_mm_min = act.feed_mm_min;
    segment.length_mm = act.length_mm;
    segment.stroke = static_cast<std::uint32_t>(layer.strokes.size()) - 1;
    segment.line = static_cast<std::uint32_t>(reader_.raw().number);
    if (stroke.last > stroke.first) {
        const Segment& last = layer.segments.back();
        segment.begin_mm = last.begin_mm + last.length_mm;
    }
    if (act.is_arc) {
        segment.arc = static_cast<std::int32_t>(layer.arcs.size());
        layer.arcs.push_back(act.arc);
    }
    layer.segments.push_back(segment);
    stroke.last = static_cast<std::uint32_t>(layer.segments.size());
    if (act.to.z != act.from.z) layer.sloped = true;
    last_z_mm_ = act.to.z;
    if (heights_) heights_->print(act);
    layer.dip_mm = std::max(layer.dip_mm, dip_.bead(act));
    way_ = {};
    retractions_.apply(act);
}

bool LayerReader::passes_first_layer() {
    const std::size_t before = next_first_layer_;
    while (next_first_layer_ < first_layers_.size() &&
           first_layers_[next_first_layer_] <= reader_.raw().number)
        ++next_first_layer_;
    return next_first_layer_ > before;
}

void LayerReader::begin_stroke(Layer& layer) {
    const Act& act = reader_.act();
    const State& state = reader_.state();
    const double z = act.from.z;
    // Only at the begin of what may be regrouped is the layer's number looked at anew.
    const bool looks = !has_bead_ || pin_passed_ || std::abs(z - last_z_mm_) > same_height_mm;
    if (looks && !in_stroke_ && (!has_bead_ || std::abs(z - layer_z_mm_) > same_height_mm)) {
        const bool on_bed = passes_first_layer();
        number_ = on_bed || (has_bead_ && z < layer_z_mm_) ? 0 : number_ + 1;
        layer_z_mm_ = z;
    }
    Stroke stroke;
    stroke.layer = number_;
    stroke.start = act.from;
    stroke.first = stroke.last = static_cast<std::uint32_t>(layer.segments.size());
    stroke.tool = state.tool;
    stroke.celsius = state.set_point_c(state.tool);
    stroke.fan_duty = state.fan_duty;
    stroke.fan_named = state.fan_named;
    stroke.label = state.label;
    stroke.settings = state.settings.mark();
    stroke.continues = in_stroke_;
    stroke.said_ever = sayings_.ever();
    stroke.said_since = sayings_.since();
    stroke.selections = selections_;
    stroke.notes = notes_.take();
    stroke.restarts_mm = retractions_.restarts_along(act);
    stroke.goes_on = goes_on_ && !layer.strokes.empty();
    stroke.retracted_mm = retractions_.current().mm;
    stroke.way = way_;
    const auto heat = heats_.find(state.tool);
    stroke.waited = heat != heats_.end() && heat->second.waited;
    stroke.machine_retracted = retractions_.current().by_machine;
    layer.strokes.push_back(stroke);
}

}  // namespace durograde::check
