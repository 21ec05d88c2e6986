#include "check/first_look.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "check/layer_reader.hpp"
#include "check/reader.hpp"
#include "text/diagnostic.hpp"

namespace durograde::check {
namespace {

constexpr double same_height_mm = 1e-6;
constexpr double chord_mm = 0.5;  // of painted arcs

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
        look_.footprint.find_islands();
        look_.bead_mm = look_.footprint.bead_width_mm();
        return std::move(look_);
    }

  private:
    /// Another height begins a layer; a lower one, the first of another part.
    void begin_stroke(double z) {
        if (has_layer_ && std::abs(z - z_mm_) <= same_height_mm) return;
        look_.footprint.begin_layer(has_layer_ ? std::max(0.0, z - z_mm_) : 0.0);
        z_mm_ = z;
        has_layer_ = true;
    }

    void bead(const Act& act) {
        const double volume_mm3 = act.e_mm * area_mm2_;
        if (!act.is_arc) return paint(act.from, act.to, volume_mm3);
        const int chords = static_cast<int>(act.length_mm / chord_mm) + 1;
        Point before = act.from;
        for (int i = 1; i <= chords; ++i) {
            const Point at = act.arc.at(static_cast<double>(i) / chords, act.from.z, act.to.z);
            paint(before, at, volume_mm3 / chords);
            before = at;
        }
    }

    void paint(const Point& from, const Point& to, double volume_mm3) {
        look_.footprint.paint({from.x, from.y, from.z}, {to.x, to.y, to.z}, volume_mm3);
    }

    FirstLook look_;
    double area_mm2_, z_mm_ = 0.0;
    bool has_layer_ = false, in_stroke_ = false;
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
