#include "check/first_look.hpp"

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

#include "check/height_map.hpp"
#include "check/layer_reader.hpp"
#include "check/reader.hpp"
#include "region/parts.hpp"
#include "text/diagnostic.hpp"
#include "text/relay.hpp"

namespace durograde::check {
namespace {

constexpr double same_height_mm = 1e-6;
constexpr std::size_t batch_beads = 4096;

struct Bead {
    Point from, to;
    Arc arc;
    double e_mm = 0.0;
    int label = -1;
    std::uint64_t line = 0;
    bool is_arc = false, begins_stroke = false;
};

/// Reads beads, on a thread of its own.
class BeadReader {
  public:
    BeadReader(const plan::Plan& plan, int fd, const std::string& name) : reader_(plan, fd, name) {}

    bool fill(std::vector<Bead>& beads) {
        beads.clear();
        while (beads.size() < batch_beads && reader_.next()) {
            const Act& act = reader_.act();
            if (act.kind == Kind::fault) refuse(reader_);
            if (act.moves()) {
                decimals_.note(reader_.line());
                if (act.kind != Kind::bead) paces_.note(Paces::of(act));
                note_heights(act);
            }
            if (act.kind == Kind::bead) {
                beads.push_back({act.from, act.to, act.arc, act.e_mm, reader_.state().label,
                                 reader_.raw().number, act.is_arc, !in_stroke_});
            }
            states_progress_ = states_progress_ || act.kind == Kind::progress;
            in_stroke_ = act.kind == Kind::bead || (in_stroke_ && act.kind == Kind::progress);
        }
        return !beads.empty();
    }

    /// Of all that was read, once nothing is left.
    [[nodiscard]] const Decimals& decimals() const noexcept { return decimals_; }
    [[nodiscard]] double arcs_off_by_mm() const noexcept { return reader_.arcs_off_by_mm(); }
    [[nodiscard]] const Paces& paces() const noexcept { return paces_; }
    [[nodiscard]] bool states_progress() const noexcept { return states_progress_; }
    [[nodiscard]] bool sinks() const noexcept { return sinks_; }

  private:
    void note_heights(const Act& act) {
        const double low_mm = std::min(act.from.z, act.to.z);
        sinks_ = sinks_ || (act.from_known && low_mm < top_mm_ - HeightMap::slack_mm);
        const bool rises = act.kind == Kind::filament && act.e_mm > 0 && act.to.z > act.from.z;
        if (act.kind == Kind::bead || rises) top_mm_ = std::max({top_mm_, act.from.z, act.to.z});
    }

    Reader reader_;
    Decimals decimals_;
    Paces paces_;
    double top_mm_ = -1e9;  ///< of what is printed, also straight up
    bool in_stroke_ = false, states_progress_ = false, sinks_ = false;
};

/// Paints beads layer by layer.
class Painter {
  public:
    /// Paints what parts of `sheet` may be made of; keeps it too where `log` is given.
    Painter(region::Footprint& footprint, region::BeadLog* log, const plan::Sheet& sheet,
            double filament_area_mm2)
        : footprint_(footprint), log_(log), sheet_(sheet), area_mm2_(filament_area_mm2) {}

    void paint(const Bead& bead) {
        // At the height at which the last bead ended a path goes on.
        if (bead.begins_stroke && bead.from.z != last_z_mm_) begin_stroke(bead.from.z, bead.line);
        last_z_mm_ = bead.to.z;
        const geometry::Point from{bead.from.x, bead.from.y, bead.from.z};
        const geometry::Point to{bead.to.x, bead.to.y, bead.to.z};
        if (!sheet_.takes(bead.label)) return footprint_.note(from, to);
        const double volume_mm3 = bead.e_mm * area_mm2_;
        if (bead.is_arc) {
            const geometry::Arc arc{bead.arc.center_x, bead.arc.center_y, bead.arc.radius,
                                    bead.arc.sweep_rad};
            footprint_.paint(from, to, arc, volume_mm3);
            if (log_ != nullptr) log_->add(from, to, arc, volume_mm3);
        } else {
            footprint_.paint(from, to, volume_mm3);
            if (log_ != nullptr) log_->add(from, to, volume_mm3);
        }
    }

  private:
    /// Another height begins a layer; a lower one, the first of another part.
    void begin_stroke(double z, std::uint64_t line) {
        if (has_layer_ && std::abs(z - z_mm_) <= same_height_mm) return;
        footprint_.begin_layer(has_layer_ ? std::max(0.0, z - z_mm_) : 0.0, line);
        if (log_ != nullptr) log_->begin_layer(z);
        z_mm_ = z;
        has_layer_ = true;
    }

    region::Footprint& footprint_;
    region::BeadLog* log_;
    const plan::Sheet& sheet_;
    double area_mm2_, z_mm_ = 0.0, last_z_mm_ = -1e30;
    bool has_layer_ = false;
};

Failure refusal(const region::Misplaced& misplaced, const std::string& name) {
    return {Exit::bad_input, Diagnostic{.code = misplaced.code,
                                        .text = misplaced.text,
                                        .mend = misplaced.mend,
                                        .place = {name, 0, 0}}};
}

std::vector<plan::PartPlace> place_parts(const plan::Plan& plan, const std::string& name,
                                         FirstLook& look) {
    auto placed = region::place_parts(plan.sheet, look.footprint, look.labels);
    if (const auto* misplaced = std::get_if<region::Misplaced>(&placed))
        throw refusal(*misplaced, name);
    return std::get<region::Found>(std::move(placed)).places;
}

}  // namespace

FirstLook look_at(const plan::Plan& plan, int fd, const std::string& name) {
    FirstLook look(region::Footprint(plan.machine.reach_x, plan.machine.reach_y));
    if (plan.uses_depth() || plan.has_wishes()) look.beads = std::make_unique<region::BeadLog>();
    BeadReader reader(plan, fd, name);
    {
        Painter painter(look.footprint, look.beads.get(), plan.sheet,
                        plan.machine.filament_area_mm2());
        Relay<std::vector<Bead>> batches(
            [&](std::vector<Bead>& beads) { return reader.fill(beads); });
        while (const std::vector<Bead>* beads = batches.next()) {
            for (const Bead& bead : *beads) {
                painter.paint(bead);
                look.labels.note(bead.label, (bead.from.x + bead.to.x) / 2,
                                 (bead.from.y + bead.to.y) / 2);
            }
        }
    }
    if (look.beads) look.beads->finish();
    look.decimals = reader.decimals();
    look.arcs_off_by_mm = reader.arcs_off_by_mm();
    look.paces = reader.paces();
    look.states_progress = reader.states_progress();
    look.sinks = reader.sinks();
    look.footprint.find_islands();
    look.bead_mm = look.footprint.bead_width_mm();
    for (const auto& restart : look.footprint.restarts())
        look.first_layers.push_back(restart.where);
    look.places = place_parts(plan, name, look);
    return look;
}

std::unique_ptr<region::Depth> measure_depth(const plan::Plan& plan, const FirstLook& look,
                                             const std::string& name) {
    if (!plan.uses_depth()) return nullptr;
    auto depth = region::Depth::measure(plan.depth, *look.beads, look.footprint,
                                        std::vector<bool>(look.places.size(), true));
    if (const auto* misplaced = std::get_if<region::Misplaced>(&depth))
        throw refusal(*misplaced, name);
    return std::get<std::unique_ptr<region::Depth>>(std::move(depth));
}

}  // namespace durograde::check
