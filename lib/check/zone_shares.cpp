#include "check/zone_shares.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <memory>
#include <optional>
#include <utility>

#include "check/part_frame.hpp"
#include "region/margin.hpp"
#include "region/zones.hpp"

namespace durograde::check {
namespace {

/// A bead as places along it.
class Bead {
  public:
    Bead(const region::BeadLog::Bead& bead, double z_mm, const PartFrame& frame, long layer)
        : frame_(frame), layer_(layer) {
        constexpr double unit = region::BeadLog::mm_per_unit;
        from_ = {bead.from_x * unit, bead.from_y * unit, z_mm};
        to_ = {bead.to_x * unit, bead.to_y * unit, z_mm};
        length_mm = std::hypot(to_.x - from_.x, to_.y - from_.y);
        mm3 = static_cast<double>(bead.volume_mm3);
    }
    [[nodiscard]] region::Spot at(double share) const {
        return frame_.spot(
            {from_.x + (to_.x - from_.x) * share, from_.y + (to_.y - from_.y) * share, from_.z},
            layer_);
    }

    double length_mm = 0.0, mm3 = 0.0;

  private:
    const PartFrame& frame_;
    long layer_;
    Point from_, to_;
};

/// Adds up the stretches of beads by the zone that each lies in.
class ZoneSums {
  public:
    ZoneSums(const region::ZoneField& field, std::size_t zones) : sums(zones), field_(field) {}

    void add(const Bead& bead) {
        double done = 0.0;
        while (done < 1.0) {
            const region::ZoneField::Probe here = field_.at(bead.at(done));
            double end = done + here.free_mm / bead.length_mm;
            // On as far as the zone goes.
            while (end < 1.0) {
                const region::ZoneField::Probe there = field_.at(bead.at(end));
                if (there.zone != here.zone) break;
                end += there.free_mm / bead.length_mm;
            }
            end = std::min(end, 1.0);
            if (field_.zone_at(bead.at(end)) != here.zone) end = leaves(bead, done, end, here.zone);
            if (here.zone != region::no_zone)
                sums[static_cast<std::size_t>(here.zone)] += (end - done) * bead.mm3;
            done = end;
        }
    }

    std::vector<double> sums;

  private:
    /// Where the stretch leaves the zone, just past it.
    [[nodiscard]] double leaves(const Bead& bead, double inside, double beyond, int zone) const {
        constexpr int halvings = 30;
        for (int i = 0; i < halvings; ++i) {
            const double middle = inside + (beyond - inside) / 2;
            (field_.zone_at(bead.at(middle)) == zone ? inside : beyond) = middle;
        }
        return beyond;
    }

    const region::ZoneField& field_;
};

/// What the gradient asks for along beads, to a tenth of Shore A.
class GradientSums {
  public:
    GradientSums(const plan::Plan& plan, const region::ZoneField& field)
        : field_(field), shapes_(plan.shapes), margin_(plan.gradient->below, shapes_) {}

    void add(const Bead& bead) {
        constexpr double about_mm = 0.4;
        const long places = std::lround(std::ceil(bead.length_mm / about_mm));
        double begin = margin_.at(bead.at(0.0));
        for (long i = 0; i < places; ++i) {
            const auto share = [&](double of) {
                return (static_cast<double>(i) + of) / static_cast<double>(places);
            };
            const double end = margin_.at(bead.at(share(1.0)));
            const bool follows = field_.zone_at(bead.at(share(0.5))) == region::no_zone;
            if (follows) spread(begin, end, bead.mm3 / static_cast<double>(places));
            begin = end;
        }
    }
    [[nodiscard]] std::vector<Asked> asked() const {
        std::vector<Asked> asked;
        for (const auto& [place, of] : sums_)
            if (of.first > 0) asked.push_back({of.second / of.first, of.first});
        return asked;
    }

  private:
    static constexpr double per_shore_a = 10.0;

    /// What goes evenly from one hardness to another, in small shares.
    void spread(double begin, double end, double mm3) {
        if (!std::isfinite(begin) || !std::isfinite(end)) return;
        const long shares = 1 + std::lround(std::min(std::abs(end - begin), 100.0) * per_shore_a);
        const double each = mm3 / static_cast<double>(shares);
        for (long i = 0; i < shares; ++i) {
            const double shore_a = begin + (end - begin) * (static_cast<double>(i) + 0.5) /
                                               static_cast<double>(shares);
            const double place = std::clamp(shore_a, -1.0, 101.0) * per_shore_a;
            auto& [sum_mm3, sum] = sums_[std::lround(place)];
            sum_mm3 += each;
            sum += shore_a * each;
        }
    }
    const region::ZoneField& field_;
    region::Fields shapes_;
    region::Margin margin_;
    std::map<long, std::pair<double, double>> sums_;  ///< mm³, and Shore A times mm³
};

}  // namespace

Shares shares_of(const plan::Plan& plan, const FirstLook& look, const std::string& before_name) {
    plan::Plan straight = plan;
    straight.split.interlock_mm = 0.0;
    const region::ZoneField field(straight);
    const std::unique_ptr<region::Depth> depth = measure_depth(straight, look, before_name);
    std::vector<PartFrame> frames;
    for (std::size_t i = 0; i < look.places.size(); ++i)
        frames.emplace_back(look.places[i], static_cast<int>(i), depth.get());
    ZoneSums zones(field, plan.zones.size());
    std::optional<GradientSums> gradient;
    if (plan.gradient) gradient.emplace(plan, field);
    std::vector<region::BeadLog::Bead> beads;
    long layer = -1;
    double last_z_mm = 0.0;
    for (const region::BeadLog::Layer& of : look.beads->layers()) {
        layer = layer >= 0 && of.z_mm <= last_z_mm ? 0 : layer + 1;
        last_z_mm = of.z_mm;
        if (depth) depth->seek(of.z_mm);
        look.beads->read(of, beads);
        for (const region::BeadLog::Bead& one : beads) {
            constexpr double half_unit = region::BeadLog::mm_per_unit / 2;
            const int part = look.footprint.part_at((1.0 * one.from_x + one.to_x) * half_unit,
                                                    (1.0 * one.from_y + one.to_y) * half_unit);
            if (part == region::outside) continue;
            const Bead bead(one, of.z_mm, frames[static_cast<std::size_t>(part)], layer);
            if (!(bead.length_mm > 0)) continue;
            zones.add(bead);
            if (gradient) gradient->add(bead);
        }
    }
    return {std::move(zones.sums), gradient ? gradient->asked() : std::vector<Asked>{}};
}

}  // namespace durograde::check
