#include "grade/zone_volumes.hpp"

#include <algorithm>

#include "grade/part_beads.hpp"

namespace durograde::grade {
namespace {

constexpr double crossing_share = 1e-6;  // of a bead's length

/// Goes along beads by what the field calls free, and finds each crossing by halving.
class Measurer {
  public:
    Measurer(const region::ZoneField& field, std::vector<double>& volumes_mm3)
        : field_(field), volumes_mm3_(volumes_mm3) {}

    template <typename SpotOf>
    void add(const BeadLine& line, const SpotOf& spot_of) {
        double at = 0.0;
        region::ZoneField::Probe probe = field_.at(spot_of(0.0));
        while (at < 1.0) {
            double next = std::min(1.0, at + probe.free_mm / line.length_mm);
            const int zone = probe.zone;
            probe = field_.at(spot_of(next));
            double low = at;
            while (probe.zone != zone && next - low > crossing_share) {
                const double middle = (low + next) / 2;
                const auto there = field_.at(spot_of(middle));
                (there.zone == zone ? low : next) = middle;
                if (there.zone != zone) probe = there;
            }
            if (zone != region::no_zone)
                volumes_mm3_[static_cast<std::size_t>(zone)] += (next - at) * line.volume_mm3;
            at = next;
        }
    }

  private:
    const region::ZoneField& field_;
    std::vector<double>& volumes_mm3_;
};

}  // namespace

std::vector<double> zone_volumes(const plan::Plan& plan, const Survey& survey,
                                 const std::string& input_name) {
    plan::Plan level = plan;
    level.split.interlock_mm = 0.0;
    std::vector<double> volumes_mm3(plan.zones.size());
    const region::ZoneField field(level);
    Measurer measurer(field, volumes_mm3);
    for_part_beads(level, survey, input_name,
                   [&](const BeadLine& line, const auto& spot_of) { measurer.add(line, spot_of); });
    return volumes_mm3;
}

}  // namespace durograde::grade
