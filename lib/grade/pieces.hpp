#pragma once

#include <memory>
#include <span>
#include <string>
#include <vector>

#include "grade/figures.hpp"
#include "grade/survey.hpp"
#include "plan/material_curve.hpp"
#include "program/writer.hpp"
#include "region/footprint.hpp"
#include "region/split.hpp"

namespace durograde::grade {

/// A tool at a temperature: what a visit is made with.
struct Station {
    int tool = 0;
    double temperature_c = 0.0;  ///< 0: unknown, left as the program had it
    double flow = 1.0;           ///< factor on the input's filament
    /// Between which the volume extruded in a second is kept, mm³; the high one 0: not asked for.
    double least_mm3_s = 0.0, most_mm3_s = 0.0;

    friend bool operator==(const Station&, const Station&) = default;
};

struct ZoneShare {
    int zone = region::no_zone;
    double share = 0.0;  ///< of a piece's length
};

/// The part of a stroke that one station prints.
struct Piece {
    std::uint32_t stroke = 0;
    region::Cut begin, end;
    int station = 0;  ///< index into `Stations`
    int part = region::outside;
    double length_mm = 0.0;
    bool begins_stroke = true, ends_stroke = true;
    int zone = region::no_zone;               ///< most of it was meant for; none outside the parts
    bool reversed = false;                    ///< printed from its end to its begin
    std::vector<ZoneShare> other_zones = {};  ///< that it runs through, of the same station

    /// Where it is begun, and where it is left.
    [[nodiscard]] const program::Point& entry() const { return reversed ? end.point : begin.point; }
    [[nodiscard]] const program::Point& exit() const { return reversed ? begin.point : end.point; }
    [[nodiscard]] bool is_whole() const { return begins_stroke && ends_stroke; }
};

/// The stations that a program meets, numbered as they come.
class Stations {
  public:
    int number(const Station& station);
    [[nodiscard]] const Station& operator[](int number) const {
        return list_[static_cast<std::size_t>(number)];
    }
    [[nodiscard]] std::size_t size() const noexcept { return list_.size(); }

  private:
    std::vector<Station> list_;
};

/// What the cutting tells of zones and parts.
struct PieceFigures {
    std::vector<PartFigures> parts;
    std::vector<ZoneFigures> zones;
    ZoneFigures outside;
    long cuts = 0;
};

/// Cuts the strokes of a span into pieces, each in one zone of one part, and keeps account of the
/// zones.
class PieceMaker {
  public:
    /// `plan` and `survey` must outlive the maker. Cuts lie where numbers of the input's decimals
    /// can be written, so that both pieces meet in the same point.
    PieceMaker(const plan::Plan& plan, const Survey& survey, std::string input_name);

    /// Fills `pieces` in the order of the input. Throws Failure (Exit::bad_plan) where no zone
    /// holds.
    void make(const program::Span& span, std::vector<Piece>& pieces);

    [[nodiscard]] const Stations& stations() const noexcept { return stations_; }
    [[nodiscard]] const PieceFigures& figures() const noexcept { return figures_; }
    /// The zones whose boundaries are found by sampling.
    [[nodiscard]] const std::vector<int>& sampled_zones() const noexcept {
        return field_.sampled();
    }

  private:
    struct ZoneTarget {
        bool keep = false;
        Station station;
    };
    [[nodiscard]] int part_of(const program::Span& span, const program::Stroke& stroke) const;
    [[nodiscard]] Station station_of(const ZoneTarget& target, const program::Stroke& stroke) const;
    [[nodiscard]] Failure gap(const program::Span& span, const program::Stroke& stroke,
                              const program::Point& point) const;
    void make_outside(const program::Span& span, std::uint32_t index, std::vector<Piece>& pieces);
    /// A run of some stroke, with the zone that it lies in and the station that prints it.
    struct PathRun {
        std::uint32_t stroke = 0;
        region::Run zoned;
        int own_station = 0;  ///< its zone's
        int station = 0;      ///< that prints it: another one's where it is too short
    };
    static bool goes_on(const program::Span& span, std::uint32_t index);
    void make_inside(const program::Span& span, std::uint32_t first, std::uint32_t last, int part,
                     std::vector<Piece>& pieces);
    void choose_stations(const program::Span& span, std::uint32_t first, std::uint32_t last);
    void add_pieces(const program::Span& span, std::span<const PathRun> runs, int part,
                    std::vector<Piece>& pieces);
    [[nodiscard]] region::Cut rounded(region::Cut cut, const program::Span& span,
                                      const program::Stroke& stroke) const;
    void account(const program::Span& span, std::span<const PathRun> runs, Piece& piece);
    void account_zone(ZoneFigures& zone, PartFigures* part, double length_mm, double filament_mm,
                      const Station& station);

    const plan::Plan& plan_;
    const region::Footprint& footprint_;
    region::Depth* depth_;  ///< or none
    program::Decimals decimals_;
    Stations stations_;
    PieceFigures figures_;
    std::string input_name_;
    region::ZoneField field_;
    std::vector<region::Placement> placements_;
    std::vector<ZoneTarget> targets_;
    ZoneTarget outside_;
    std::unique_ptr<plan::Curve> curve_;
    double area_mm2_;
    std::vector<region::Run> runs_;
    std::vector<PathRun> path_;  ///< of strokes that follow each other without a break
};

/// Filament of a stroke between two cuts, mm, as the input has it.
double filament_between(const program::Span& span, const region::Cut& begin,
                        const region::Cut& end);

/// A tool at a temperature, with the flow factor that `curve` (or nothing: 1) gives there, and what
/// it flows at most.
Station station_at(int tool, double temperature_c, const plan::Curve* curve);

}  // namespace durograde::grade
