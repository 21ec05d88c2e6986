#include "check/first_look.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <vector>

#include "check/layer_reader.hpp"
#include "check/reader.hpp"
#include "text/diagnostic.hpp"

namespace durograde::check {
namespace {

constexpr double same_height_mm = 1e-6;
constexpr double chord_mm = 0.5;       // of painted arcs
constexpr double rise_unit_mm = 1e-4;  // rises between layers are counted in these

/// Gathers bead after bead.
class Gatherer {
  public:
    explicit Gatherer(const plan::Plan& plan)
        : look_{region::Footprint(plan.machine.reach_x, plan.machine.reach_y), 0.45, {}},
          area_mm2_(plan.machine.filament_area_mm2()) {}

    void see(const Reader& reader) {
        const Act& act = reader.act();
        if (act.moves()) look_.decimals.note(reader.line());
        if (act.kind == Kind::bead) {
            if (!in_stroke_) begin_stroke(act.from.z);
            bead(act);
        }
        in_stroke_ = act.kind == Kind::bead || (in_stroke_ && act.kind == Kind::progress);
    }

    FirstLook finish() {
        const auto commonest = std::max_element(
            rises_.begin(), rises_.end(), [](const auto& a, const auto& b) { return a.second < b.second; });
        const double height_mm = commonest != rises_.end()
                                     ? static_cast<double>(commonest->first) * rise_unit_mm
                                     : highest_mm_;
        if (length_mm_ > 0 && height_mm > 0) {
            look_.bead_mm = std::clamp(filament_mm_ * area_mm2_ / length_mm_ / height_mm, 0.2, 2.5);
        }
        look_.footprint.find_islands(look_.bead_mm);
        return std::move(look_);
    }

  private:
    /// Another height begins a layer; a lower one, the first of another part.
    void begin_stroke(double z) {
        if (runs_ > 0 && std::abs(z - z_mm_) <= same_height_mm) return;
        const bool rises = runs_ > 0 && z > z_mm_;
        if (rises) ++rises_[std::lround((z - z_mm_) / rise_unit_mm)];
        layer_ = runs_ > 0 && !rises ? 0 : layer_ + 1;
        z_mm_ = z;
        ++runs_;
    }

    void bead(const Act& act) {
        length_mm_ += act.length_mm;
        filament_mm_ += act.e_mm;
        highest_mm_ = std::max(highest_mm_, act.to.z);
        if (!act.is_arc) return paint(act.from, act.to);
        const int chords = static_cast<int>(act.length_mm / chord_mm) + 1;
        Point before = act.from;
        for (int i = 1; i <= chords; ++i) {
            const Point at = act.arc.at(static_cast<double>(i) / chords, act.from.z, act.to.z);
            paint(before, at);
            before = at;
        }
    }

    void paint(const Point& from, const Point& to) {
        look_.footprint.paint({from.x, from.y, from.z}, {to.x, to.y, to.z}, runs_, layer_ > 0);
    }

    FirstLook look_;
    double area_mm2_;
    double length_mm_ = 0.0, filament_mm_ = 0.0, highest_mm_ = 0.0, z_mm_ = 0.0;
    std::map<long, long> rises_;  ///< how often, by height
    std::uint32_t runs_ = 0;      ///< layers as they come
    long layer_ = -1;
    bool in_stroke_ = false;
};

void name_parts(const plan::Plan& plan, const std::string& name, region::Footprint& footprint) {
    std::vector<int> owner(footprint.islands().size(), region::outside);
    for (std::size_t i = 0; i < plan.sheet.places.size(); ++i) {
        const plan::PartPlace& place = plan.sheet.places[i];
        const int island = footprint.island_at(place.x_mm, place.y_mm);
        const bool free = island >= 0 && owner[static_cast<std::size_t>(island)] == region::outside;
        if (!free) {
            throw Failure(Exit::bad_input,
                          Diagnostic{.code = island < 0 ? "no-part" : "parts-touch",
                                     .text = "part " + std::to_string(i) +
                                             (island < 0 ? " has no beads at its place"
                                                         : " stands on the beads of another part"),
                                     .mend = "correct sheet.place in the plan",
                                     .place = {name, 0, 0}});
        }
        owner[static_cast<std::size_t>(island)] = static_cast<int>(i);
        footprint.name_part(island, static_cast<int>(i));
    }
}

}  // namespace

FirstLook look_at(const plan::Plan& plan, int fd, const std::string& name) {
    Gatherer gatherer(plan);
    Reader reader(plan, fd, name);
    while (reader.next()) {
        if (reader.act().kind == Kind::fault) refuse(reader);
        gatherer.see(reader);
    }
    FirstLook look = gatherer.finish();
    name_parts(plan, name, look.footprint);
    return look;
}

}  // namespace durograde::check
