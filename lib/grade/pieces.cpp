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
    if (curve == nullptr) return {tool, temperature_c, 1.0, 0.0, 0.0};
    return {tool, temperature_c, curve->flow(temperature_c), 0.0,
            curve->max_flow_mm3_s(temperature_c)};
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
            const double band_mm3_s = zone.steady_flow_mm3_s->high;
            double& most_mm3_s = to.station.most_mm3_s;
            most_mm3_s = most_mm3_s > 0 ? std::min(most_mm3_s, band_mm3_s) : band_mm3_s;
        }
        ZoneFigures entry;
        entry.name = zone.name;
        entry.tool = to.keep ? -1 : to.station.tool;
        entry.temperature_c = to.station.temperature_c;
        if (curve_ != nullptr && !to.keep) {
            entry.card = curve_->at(to.station.temperature_c);
            entry.hardness_shore_a = entry.card->hardness_shore_a;
        }
        entry.asked_shore_a = zone.hardness_shore_a;
        figures_.zones.push_back(entry);
    }
    for (PartFigures& part : figures_.parts) part.zone_mm3.resize(plan.zones.size());
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

/// The stroke goes on where the one before it ended: a comment alone stands between.
bool PieceMaker::goes_on(const Span& span, std::uint32_t index) {
    if (index == 0) return false;
    const Stroke& stroke = span.strokes[index];
    return std::all_of(span.items.begin() + stroke.first_item,
                       span.items.begin() + stroke.last_item, [](const program::Item& item) {
                           return item.kind == program::StepKind::comment ||
                                  item.kind == program::StepKind::blank ||
                                  item.kind == program::StepKind::progress;
                       });
}

void PieceMaker::make(const Span& span, std::vector<Piece>& pieces) {
    pieces.clear();
    for (std::uint32_t i = 0; i < span.strokes.size();) {
        const int part = part_of(span, span.strokes[i]);
        std::uint32_t end = i + 1;
        if (part == region::outside) {
            make_outside(span, i, pieces);
        } else {
            while (end < span.strokes.size() && goes_on(span, end) &&
                   part_of(span, span.strokes[end]) == part)
                ++end;
            make_inside(span, i, end, part, pieces);
        }
        i = end;
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

/// The strokes from number `first` to before `last` are one path.
void PieceMaker::make_inside(const Span& span, std::uint32_t first, std::uint32_t last, int part,
                             std::vector<Piece>& pieces) {
    path_.clear();
    for (std::uint32_t i = first; i < last; ++i) {
        const Stroke& stroke = span.strokes[i];
        if (depth_ != nullptr) depth_->seek(stroke.start.z);
        region::split_at_zones(span, stroke, field_, placements_[static_cast<std::size_t>(part)],
                               runs_);
        for (const region::Run& run : runs_) {
            if (run.zone == region::no_zone) throw gap(span, stroke, run.begin.point);
            path_.push_back({i, run, 0, 0});
        }
    }
    choose_stations(span, first, last);
    for (auto begin = path_.begin(); begin != path_.end();) {
        const auto end = std::find_if(
            begin, path_.end(), [&](const PathRun& run) { return run.stroke != begin->stroke; });
        add_pieces(span, {begin, end}, part, pieces);
        begin = end;
    }
}

/// Of each run of the path: its zone's, unless the run is too short and joins a neighbour.
void PieceMaker::choose_stations(const Span& span, std::uint32_t first, std::uint32_t last) {
    runs_.clear();
    for (PathRun& run : path_) {
        const ZoneTarget& target = targets_[static_cast<std::size_t>(run.zoned.zone)];
        run.own_station = stations_.number(station_of(target, span.strokes[run.stroke]));
        runs_.push_back(run.zoned);
        runs_.back().zone = run.own_station;
    }
    const auto end = region::segment_end(span, span.strokes[last - 1].last_segment - 1);
    const bool closed = distance(span.strokes[first].start, end) < closed_mm;
    region::join_short_runs(runs_, plan_.split.shortest_mm, closed);
    auto joined = runs_.begin();
    for (PathRun& run : path_) {
        run.station = joined->zone;
        const region::Cut &here = run.zoned.end, &there = joined->end;
        if (here.segment == there.segment && here.fraction == there.fraction) ++joined;
    }
}

/// The runs are those of one stroke.
void PieceMaker::add_pieces(const Span& span, std::span<const PathRun> runs, int part,
                            std::vector<Piece>& pieces) {
    const std::uint32_t index = runs.front().stroke;
    const Stroke& stroke = span.strokes[index];
    for (std::size_t begin = 0, end = 0; begin < runs.size(); begin = end) {
        double length_mm = 0.0;
        for (end = begin; end < runs.size() && runs[end].station == runs[begin].station; ++end)
            length_mm += runs[end].zoned.length_mm;
        const auto piece = runs.subspan(begin, end - begin);
        const region::Run &from = piece.front().zoned, &to = piece.back().zoned;
        const bool first = begin == 0, last = end == runs.size();
        pieces.push_back({index, first ? from.begin : rounded(from.begin, span, stroke),
                          last ? to.end : rounded(to.end, span, stroke), piece.front().station,
                          part, length_mm, first, last});
        account(span, piece, pieces.back());
        if (!first) ++figures_.cuts;
    }
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
void PieceMaker::account(const Span& span, std::span<const PathRun> runs, Piece& piece) {
    const Station& station = stations_[piece.station];
    double most_mm = -1.0;
    for (const PathRun& run : runs) {
        if (run.own_station != piece.station || run.zoned.length_mm <= most_mm) continue;
        most_mm = run.zoned.length_mm;
        piece.zone = run.zoned.zone;
    }
    // It may have come to its station across the seam of a loop.
    for (const PathRun& run : path_) {
        if (piece.zone == region::no_zone && run.own_station == piece.station)
            piece.zone = run.zoned.zone;
    }
    auto* part = &figures_.parts[static_cast<std::size_t>(piece.part)];
    for (const PathRun& run : runs) {
        const int zone = run.own_station == piece.station ? run.zoned.zone : piece.zone;
        account_zone(figures_.zones[static_cast<std::size_t>(zone)], part, run.zoned.length_mm,
                     filament_between(span, run.zoned.begin, run.zoned.end), station);
        if (zone != piece.zone)
            piece.other_zones.push_back({zone, run.zoned.length_mm / piece.length_mm});
    }
}

void PieceMaker::account_zone(ZoneFigures& zone, PartFigures* part, double length_mm,
                              double filament_mm, const Station& station) {
    zone.length_mm += length_mm;
    if (part != nullptr) {
        const auto number = static_cast<std::size_t>(&zone - figures_.zones.data());
        part->zone_mm3[number] += filament_mm * area_mm2_;
    }
    zone.volume_mm3 += filament_mm * area_mm2_;
    zone.filament_mm += filament_mm * station.flow;
    if (curve_ == nullptr) return;
    // The flow factor keeps the bead's size while the foamed material's density falls: mass follows
    // the filament that goes in, whose density is that of the first (coldest, unfoamed) point.
    const double solid_g_cm3 = plan_.material->filament_density_g_cm3();
    const double mass_g = filament_mm * station.flow * area_mm2_ * solid_g_cm3 * 1e-3;
    zone.mass_g += mass_g;
    if (part == nullptr) return;
    part->mass_g += mass_g;
    part->cost += mass_g * 1e-3 * plan_.material->price_per_kg;
}

}  // namespace durograde::grade
