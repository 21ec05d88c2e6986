#include "grade/gradient.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "grade/part_beads.hpp"
#include "plan/material_curve.hpp"
#include "region/margin.hpp"

namespace durograde::grade {
namespace {

constexpr double every_mm = 0.5;
constexpr double per_shore_a = 4.0;

/// Sorted by hardness; each place keeps the mean of what falls into it.
class Bins {
  public:
    /// Of a piece of bead along which the hardness goes evenly from one to the other.
    void add(double from_shore_a, double to_shore_a, double mm3) {
        if (!std::isfinite(from_shore_a) || !std::isfinite(to_shore_a)) return;
        const double low = std::min(from_shore_a, to_shore_a);
        const double high = std::max(from_shore_a, to_shore_a);
        const std::size_t first = place_of(low), last = place_of(high);
        for (std::size_t place = first; place <= last; ++place) {
            // From half a place below to half a place above; the outermost hold all beyond.
            const double middle = static_cast<double>(place) / per_shore_a;
            const double begin = place == first ? low : middle - 0.5 / per_shore_a;
            const double end = place == last ? high : middle + 0.5 / per_shore_a;
            const double share = first == last ? 1.0 : (end - begin) / (high - low);
            bins_[place].mm3 += share * mm3;
            bins_[place].shore_mm3 += share * mm3 * (begin + end) / 2;
        }
    }
    [[nodiscard]] std::vector<Wish> wishes() const {
        std::vector<Wish> wishes;
        for (const Bin& bin : bins_)
            if (bin.mm3 > 0) wishes.push_back({bin.shore_mm3 / bin.mm3, bin.mm3});
        return wishes;
    }

  private:
    static std::size_t place_of(double shore_a) {
        const double place = std::clamp(shore_a * per_shore_a, 0.0, plan::gradient_bins - 1.0);
        return static_cast<std::size_t>(std::lround(place));
    }

    struct Bin {
        double mm3 = 0.0, shore_mm3 = 0.0;
    };
    std::vector<Bin> bins_ = std::vector<Bin>(plan::gradient_bins);
};

}  // namespace

std::vector<Wish> gradient_wishes(const plan::Plan& plan, const Survey& survey,
                                  const std::string& input_name) {
    plan::Plan level = plan;
    level.split.interlock_mm = 0.0;
    const region::ZoneField field(level);
    const region::Fields shapes(plan.shapes);
    const region::Margin asked(plan.gradient->below, shapes);
    Bins bins;
    for_part_beads(level, survey, input_name, [&](const BeadLine& line, const auto& spot_of) {
        const long pieces = std::lround(std::ceil(line.length_mm / every_mm));
        const auto share = [&](double piece) { return piece / static_cast<double>(pieces); };
        double from = asked.at(spot_of(0.0));
        for (long i = 0; i < pieces; ++i) {
            const auto begin = static_cast<double>(i);
            const double to = asked.at(spot_of(share(begin + 1)));
            const bool is_free =
                plan.zones.empty() || field.zone_at(spot_of(share(begin + 0.5))) == region::no_zone;
            if (is_free) bins.add(from, to, line.volume_mm3 * share(1.0));
            from = to;
        }
    });
    return bins.wishes();
}

GradientFigures gradient_figures(const plan::Plan& answered, const std::vector<Wish>& wishes,
                                 std::span<const plan::GradientStep> steps) {
    const plan::Curve curve(answered.material->points);
    GradientFigures figures;
    figures.steps = steps.size();
    figures.first_zone = answered.zones.size() - steps.size();
    double squares = 0.0;
    for (const Wish& wish : wishes) {
        const auto step = std::find_if(steps.begin(), steps.end() - 1, [&](const auto& one) {
            return wish.shore_a >= one.from_shore_a;
        });
        const double off = curve.hardness_shore_a(step->temperature_c) - wish.shore_a;
        figures.volume_mm3 += wish.weight;
        squares += wish.weight * off * off;
        figures.worst_shore_a = std::max(figures.worst_shore_a, std::abs(off));
    }
    if (wishes.empty()) return figures;
    figures.rms_shore_a = std::sqrt(squares / figures.volume_mm3);
    figures.asked_shore_a = {wishes.front().shore_a, wishes.back().shore_a};
    return figures;
}

void warn_of_steep_gradient(const plan::Plan& plan, Figures& figures) {
    const region::Fields shapes(plan.shapes);
    if (region::Margin(plan.gradient->below, shapes).lipschitz() != region::unbounded) return;
    figures.warnings.push_back(
        {.code = "sampled-gradient",
         .severity = Severity::warning,
         .text =
             fmt::format("how fast [gradient] changes is not bounded: its boundaries are looked "
                         "for every {:g} mm, and narrower places may be missed",
                         plan.split.step_mm),
         .mend = "write it without products or quotients of places, or lower split.step",
         .place = plan.gradient->place});
}

}  // namespace durograde::grade
