#include "region/turn.hpp"

#include <algorithm>
#include <cmath>

namespace durograde::region {
namespace {

// What decimals and straight segments in place of curves make two turns differ by that fit alike.
constexpr double alike_mm = 0.05;
// Rims that lie farther apart are not the same loop: the cells have to do.
constexpr double same_loop_mm = 0.2;
constexpr double alike_cells = 0.15;
constexpr double apart_deg = 5.0;

struct Candidate {
    double turn_deg = 0.0;
    double misfit = 0.0;  ///< mm, or of the cells
};

double apart(double a_deg, double b_deg) {
    return std::abs(std::remainder(a_deg - b_deg, 360.0));
}

double smallness(double turn_deg) {
    return std::abs(std::remainder(turn_deg, 360.0));
}

/// Those whose rims fit best, by the rims; none where no rims fit.
std::vector<Candidate> by_rims(const Shape& shape, const Shape& other,
                               const std::vector<Outline::Fit>& fits) {
    std::vector<Candidate> candidates;
    const auto add = [&](double turn_deg) {
        const auto misfit = shape.rim.misfit_mm(other.rim, turn_deg);
        if (misfit && *misfit <= same_loop_mm) candidates.push_back({turn_deg, *misfit});
    };
    add(0.0);
    for (const Outline::Fit& fit : fits) add(shape.hull.refined_turn(other.hull, fit.turn_deg));
    return candidates;
}

std::vector<Candidate> by_cells(const Shape& shape, const Shape& other,
                                const std::vector<Outline::Fit>& fits) {
    std::vector<Candidate> candidates;
    candidates.reserve(fits.size());
    for (const Outline::Fit& fit : fits)
        candidates.push_back({shape.hull.refined_turn(other.hull, fit.turn_deg), fit.mismatch});
    return candidates;
}

Turn smallest(std::vector<Candidate> candidates, double alike) {
    const double least =
        std::min_element(candidates.begin(), candidates.end(),
                         [](const Candidate& a, const Candidate& b) { return a.misfit < b.misfit; })
            ->misfit;
    std::erase_if(candidates, [&](const Candidate& c) { return c.misfit > least + alike; });
    std::stable_sort(candidates.begin(), candidates.end(),
                     [](const Candidate& a, const Candidate& b) {
                         return smallness(a.turn_deg) < smallness(b.turn_deg);
                     });
    Turn turn{std::remainder(candidates.front().turn_deg, 360.0), {}};
    for (const Candidate& candidate : candidates) {
        const bool known =
            apart(candidate.turn_deg, turn.deg) < apart_deg ||
            std::any_of(turn.as_well_deg.begin(), turn.as_well_deg.end(),
                        [&](double deg) { return apart(candidate.turn_deg, deg) < apart_deg; });
        if (!known) turn.as_well_deg.push_back(std::remainder(candidate.turn_deg, 360.0));
    }
    return turn;
}

}  // namespace

std::optional<Turn> turn_between(const Shape& shape, const Shape& other) {
    const std::vector<Outline::Fit> fits = shape.outline.fits(other.outline);
    if (fits.empty()) return std::nullopt;
    const std::vector<Candidate> exact = by_rims(shape, other, fits);
    if (!exact.empty()) return smallest(exact, alike_mm);
    return smallest(by_cells(shape, other, fits), alike_cells);
}

}  // namespace durograde::region
