#include "grade/pieces.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <memory>

#include "program/interpreter.hpp"

namespace durograde::grade {

using program::Span;
using program::Stroke;

namespace {

constexpr double closed_mm = 1e-6;

bool is_closed(const Span& span, const Stroke& stroke) {
    const auto end = region::segment_end(span, stroke.last_segment - 1);
    return distance(stroke.start, end) < closed_mm;
}

/// Whether a run ends behind `other`: the ends of runs that were joined are ends of some of them.
bool ends_behind(const region::Run& run, const region::Run& other) {
    return run.end.segment != other.end.segment ? run.end.segment > other.end.segment
                                                : run.end.fraction > other.end.fraction;
}

std::string position_text(const program::Point& point) {
    return fmt::format("x {:.1f}, y {:.1f}, z {:.3f}", point.x, point.y, point.z);
}

}  // namespace

double filament_between(const Span& span, const region::Cut& begin, const region::Cut& end) {
    double sum = 0.0;
    for (std::uint32_t i = begin.segment; i <= end.segment; ++i) {
        const double from = i == begin.segment ? begin.fraction : 0.0;
        const double to = i == end.segment ? end.fraction : 1.0;
        sum += span.segments[i].e_mm * (to - from);
    }
    return sum;
}

int Stations::number(const Station& station) {
    const auto found = std::find(list_.begin(), list_.end(), station);
    if (found != list_.end()) return static_cast<int>(found - list_.begin());
    list_.push_back(station);
    return static_cast<int>(list_.size()) - 1;
}

Station station_at(int tool, double temperature_c, const plan::Curve* curve) {
    return {tool, temperature_c, curve != nullptr ? curve->flow(temperature_c) : 1.0, 0.0, 0.0};
}

PieceMaker::PieceMaker(const plan::Plan& plan, const Survey& survey, std::string input_name)
    : plan_(plan),
      footprint_(*survey.footprint),
      depth_(survey.depth.get()),
      decimals_(survey.decimals),
      input_name_(std::move(input_name)),
      field_(plan),
      area_mm2_(plan.machine.filament_area_mm2()) {
    if (plan.material.has_value()) curve_ = std::make_unique<plan::Curve>(plan.material->points);
    for (const plan::PartPlace& place : survey.places) {
        placements_.emplace_back(place, static_cast<int>(placements_.size()), depth_);
        figures_.parts.push_back({place.x_mm, place.y_mm, place.turn_deg, 0.0, 0.0, place.kind});
    }
    for (const plan::Zone& zone : plan.zones) {
        const auto* tool = std::get_if<plan::ToolNumber>(&zone.tool);
        targets_.push_back(
            tool == nullptr ? ZoneTarget{true, {}}
                            : ZoneTarget{false, station_at(tool->number, plan.temperature_c(zone),
                                                           curve_.get())});
        ZoneTarget& to = targets_.back();
        if (zone.steady_flow_mm3_s) {
            to.station.least_mm3_s = zone.steady_flow_mm3_s->low;
            to.station.most_mm3_s = zone.steady_flow_mm3_s->high;
        }
        ZoneFigures entry;
        entry.name = zone.name;
        entry.tool = to.keep ? -1 : to.station.tool;
        entry.temperature_c = to.station.temperature_c;
        if (curve_ != nullptr && !to.keep) {
            entry.hardness_shore_a = curve_->hardness_shore_a(to.station.temperature_c);
        }
        figures_.zones.push_back(entry);
    }
    outside_.keep = true;
    if (const auto* tool = std::get_if<plan::ToolNumber>(&plan.sheet.outside)) {
        const double own_c = plan.find_tool(tool->number)->temperature_c;
        outside_ = {false, station_at(tool->number, own_c, curve_.get())};
    }
    figures_.outside.name = "outside";
    figures_.outside.tool = outside_.keep ? -1 : outside_.station.tool;
    figures_.outside.temperature_c = outside_.station.temperature_c;
}

int PieceMaker::part_of(const Span& span, const Stroke& stroke) const {
    if (!plan_.sheet.takes(stroke.label)) return region::outside;
    const auto middle = region::segment_point(span, stroke, stroke.first_segment, 0.5);
    return footprint_.part_at(middle.x, middle.y);
}

/// A bead that keeps its tool keeps its temperature. Where the program never said one (a command
/// that is not understood may have), it gets the tool's own: the tool may have been off meanwhile.
Station PieceMaker::station_of(const ZoneTarget& target, const Stroke& stroke) const {
    if (!target.keep) return target.station;
    const plan::Tool* tool = plan_.find_tool(stroke.tool);
    const bool is_said = stroke.temperature_c > 0 || tool == nullptr;
    const double temperature_c = is_said ? stroke.temperature_c : tool->temperature_c;
    if (temperature_c > 0 && temperature_c < plan_.machine.coldest_extrusion_c) {
        throw program::too_cold({input_name_, stroke.line, 1}, temperature_c,
                                plan_.machine.coldest_extrusion_c);
    }
    return {stroke.tool, temperature_c, 1.0, 0.0, 0.0};
}

void PieceMaker::make(const Span& span, std::vector<Piece>& pieces) {
    pieces.clear();
    for (std::uint32_t i = 0; i < span.strokes.size(); ++i) {
        const int part = part_of(span, span.strokes[i]);
        if (part == region::outside) {
            make_outside(span, i, pieces);
        } else {
            make_inside(span, i, part, pieces);
        }
    }
}

void PieceMaker::make_outside(const Span& span, std::uint32_t index, std::vector<Piece>& pieces) {
    const Stroke& stroke = span.strokes[index];
    Piece piece;
    piece.stroke = index;
    piece.begin = {stroke.first_segment, 0.0, stroke.start};
    piece.end = {stroke.last_segment - 1, 1.0, region::segment_end(span, stroke.last_segment - 1)};
    for (std::uint32_t i = stroke.first_segment; i < stroke.last_segment; ++i) {
        piece.length_mm += region::segment_length(span, stroke, i);
    }
    const Station station = station_of(outside_, stroke);
    piece.station = stations_.number(station);
    account_zone(figures_.outside, nullptr, piece.length_mm,
                 filament_between(span, piece.begin, piece.end), station);
    pieces.push_back(piece);
}

void PieceMaker::make_inside(const Span& span, std::uint32_t index, int part,
                             std::vector<Piece>& pieces) {
    const Stroke& stroke = span.strokes[index];
    if (depth_ != nullptr) depth_->seek(stroke.start.z);
    region::split_at_zones(span, stroke, field_, placements_[static_cast<std::size_t>(part)],
                           runs_);
    for (const region::Run& run : runs_) {
        if (run.zone == region::no_zone) throw gap(span, stroke, run.begin.point);
    }
    zoned_ = runs_;
    zoned_stations_.clear();
    for (region::Run& run : runs_) {
        run.zone =
            stations_.number(station_of(targets_[static_cast<std::size_t>(run.zone)], stroke));
        zoned_stations_.push_back(run.zone);
    }
    region::join_short_runs(runs_, plan_.split.shortest_mm, is_closed(span, stroke));
    const region::Run* zoned = zoned_.data();
    for (std::size_t i = 0; i < runs_.size(); ++i) {
        const region::Run& run = runs_[i];
        const bool first = i == 0, last = i + 1 == runs_.size();
        pieces.push_back({index, first ? run.begin : rounded(run.begin, span, stroke),
                          last ? run.end : rounded(run.end, span, stroke), run.zone, part,
                          run.length_mm, first, last});
        const region::Run* const begin = zoned;
        while (zoned != zoned_.data() + zoned_.size() && !ends_behind(*zoned, run)) ++zoned;
        account(span, begin, zoned, pieces.back());
    }
    figures_.cuts += static_cast<long>(runs_.size()) - 1;
}

region::Cut PieceMaker::rounded(region::Cut cut, const Span& span, const Stroke& stroke) const {
    cut.point = program::rounded(cut.point, stroke.frame, span.entry.origin_mm, decimals_);
    return cut;
}

Failure PieceMaker::gap(const Span&, const Stroke& stroke, const program::Point& point) const {
    return {Exit::bad_plan,
            Diagnostic{.code = "no-zone",
                       .text = "no zone holds for a bead at " + position_text(point) + " (line " +
                               std::to_string(stroke.line) + " of " + input_name_ + ")",
                       .mend = "end the zones with one whose condition is where = \"true\"",
                       .place = plan_.zones.back().place}};
}

/// Each bead counts in the zone that it was printed for: what lies in zones of the piece's own
/// station in them, what was too short to stand alone in the one that most of the piece is of.
void PieceMaker::account(const Span& span, const region::Run* first, const region::Run* last,
                         Piece& piece) {
    const Station& station = stations_[piece.station];
    const auto is_own = [&](const region::Run& run) {
        return zoned_stations_[static_cast<std::size_t>(&run - zoned_.data())] == piece.station;
    };
    double most_mm = -1.0;
    for (const region::Run* run = first; run != last; ++run) {
        if (!is_own(*run) || run->length_mm <= most_mm) continue;
        most_mm = run->length_mm;
        piece.zone = run->zone;
    }
    // It may have come to its station across the seam of a loop.
    for (const region::Run& run : zoned_)
        if (piece.zone == region::no_zone && is_own(run)) piece.zone = run.zone;
    auto* part = &figures_.parts[static_cast<std::size_t>(piece.part)];
    for (const region::Run* run = first; run != last; ++run) {
        const int zone = is_own(*run) ? run->zone : piece.zone;
        account_zone(figures_.zones[static_cast<std::size_t>(zone)], part, run->length_mm,
                     filament_between(span, run->begin, run->end), station);
        if (zone != piece.zone)
            piece.other_zones.push_back({zone, run->length_mm / piece.length_mm});
    }
}

void PieceMaker::account_zone(ZoneFigures& zone, PartFigures* part, double length_mm,
                              double filament_mm, const Station& station) {
    zone.length_mm += length_mm;
    zone.volume_mm3 += filament_mm * area_mm2_;
    zone.filament_mm += filament_mm * station.flow;
    if (curve_ == nullptr) return;
    // The flow factor keeps the bead's size while the foamed material's density falls: mass follows
    // the filament that goes in, whose density is that of the first (coldest, unfoamed) point.
    const double solid_g_cm3 = plan_.material->points.front().density_g_cm3;
    const double mass_g = filament_mm * station.flow * area_mm2_ * solid_g_cm3 * 1e-3;
    zone.mass_g += mass_g;
    if (part == nullptr) return;
    part->mass_g += mass_g;
    part->cost += mass_g * 1e-3 * plan_.material->price_per_kg;
}

}  // namespace durograde::grade
