#include "region/outline.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

namespace durograde::region {
namespace {

constexpr double rad_per_deg = std::numbers::pi / 180.0;
constexpr std::size_t most_candidates = 24;
constexpr double same = 1.0;  // of the rim's cells, what outlines may differ by

double normalised(double turn_deg) {
    const double turn = std::remainder(turn_deg, 360.0);
    return turn <= -180.0 ? turn + 360.0 : turn;
}

}  // namespace

Outline::Outline(Mask mask) : mask_(std::move(mask)) {
    measure();
}

void Outline::measure() {
    double sum_x = 0.0, sum_y = 0.0;
    mask_.for_cells([&](std::size_t column, std::size_t row) {
        ++area_cells_;
        sum_x += mask_.x_mm(column);
        sum_y += mask_.y_mm(row);
        const bool inner = mask_.at(column - 1, row) && mask_.at(column + 1, row) &&
                           mask_.at(column, row - 1) && mask_.at(column, row + 1);
        rim_cells_ += inner ? 0 : 1;
    });
    center_x_mm_ = sum_x / static_cast<double>(area_cells_);
    center_y_mm_ = sum_y / static_cast<double>(area_cells_);
    mask_.for_cells([&](std::size_t column, std::size_t row) {
        const double dx = mask_.x_mm(column) - center_x_mm_, dy = mask_.y_mm(row) - center_y_mm_;
        const double turn = std::atan2(dy, dx) / (2 * std::numbers::pi) + 1.0;
        double& farthest = profile_[static_cast<std::size_t>(turn * directions) % directions];
        farthest = std::max(farthest, std::hypot(dx, dy));
    });
    // Directions between cells take what lies before them.
    for (std::size_t i = 1; i < 2 * directions; ++i) {
        double& farthest = profile_[i % directions];
        if (farthest == 0.0) farthest = profile_[(i - 1) % directions];
    }
}

bool Outline::covers(double x_mm, double y_mm) const noexcept {
    const double column = std::round((x_mm - mask_.low_x_mm) / mask_.cell_mm);
    const double row = std::round((y_mm - mask_.low_y_mm) / mask_.cell_mm);
    // What is negative becomes larger than any mask.
    return column >= 0 && row >= 0 &&
           mask_.at(static_cast<std::size_t>(column), static_cast<std::size_t>(row));
}

bool is_line(const Mask& mask, double width_mm) {
    const auto reach = static_cast<std::size_t>(width_mm / 2 / mask.cell_mm) + 1;
    const auto is_wide_at = [&](std::size_t column, std::size_t row) {
        for (std::size_t r = row - reach; r <= row + reach; ++r) {
            for (std::size_t c = column - reach; c <= column + reach; ++c) {
                if (!mask.at(c, r)) return false;
            }
        }
        return true;
    };
    for (std::size_t row = reach; row + reach < mask.rows; ++row) {
        for (std::size_t column = reach; column + reach < mask.columns; ++column) {
            if (mask.at(column, row) && is_wide_at(column, row)) return false;
        }
    }
    return true;
}

/// Cells of either outline that the other does not have, as a share of the rim.
double Outline::mismatch(const Outline& other, double turn_deg) const {
    const double cosine = std::cos(turn_deg * rad_per_deg), sine = std::sin(turn_deg * rad_per_deg);
    std::size_t shared = 0;
    other.mask_.for_cells([&](std::size_t column, std::size_t row) {
        const double dx = other.mask_.x_mm(column) - other.center_x_mm_;
        const double dy = other.mask_.y_mm(row) - other.center_y_mm_;
        shared +=
            covers(center_x_mm_ + dx * cosine + dy * sine, center_y_mm_ - dx * sine + dy * cosine)
                ? 1
                : 0;
    });
    const std::size_t fewer = std::min(shared, area_cells_);
    return static_cast<double>(other.area_cells_ - shared + area_cells_ - fewer) /
           static_cast<double>(rim_cells_);
}

/// Where the profiles fit better than at the turns beside, best first.
std::vector<double> Outline::likely_turns(const Outline& other) const {
    std::array<double, directions> misfit{};
    std::array<double, 2 * directions> twice_round{};
    std::copy(other.profile_.begin(), other.profile_.end(), twice_round.begin());
    std::copy(other.profile_.begin(), other.profile_.end(), twice_round.begin() + directions);
    // All turns at once for each direction: neighbours in memory.
    for (std::size_t i = 0; i < directions; ++i) {
        for (std::size_t turn = 0; turn < directions; ++turn) {
            const double off = profile_[i] - twice_round[i + turn];
            misfit[turn] += off * off;
        }
    }
    std::vector<std::size_t> best;
    for (std::size_t turn = 0; turn < directions; ++turn) {
        const double here = misfit[turn];
        if (here <= misfit[(turn + 1) % directions] &&
            here <= misfit[(turn + directions - 1) % directions])
            best.push_back(turn);
    }
    std::stable_sort(best.begin(), best.end(),
                     [&](std::size_t a, std::size_t b) { return misfit[a] < misfit[b]; });
    best.resize(std::min(best.size(), most_candidates));
    std::vector<double> turns = {0.0, 90.0, -90.0, 180.0};
    for (const std::size_t turn : best)
        turns.push_back(normalised(static_cast<double>(turn) * 360.0 / directions));
    return turns;
}

/// The best fit about each likely turn.
std::vector<Outline::Fit> Outline::likely_fits(const Outline& other) const {
    constexpr double apart_deg = 5.0;  // turns nearer to each other are one
    std::vector<Fit> fits;
    for (const double turn : likely_turns(other)) {
        // The profiles tell a turn to some two degrees.
        Fit best{turn, mismatch(other, turn)};
        for (const double off : {-2.0, -1.5, -1.0, -0.5, 0.5, 1.0, 1.5, 2.0}) {
            const Fit fit{turn + off, mismatch(other, turn + off)};
            if (fit.mismatch < best.mismatch) best = fit;
        }
        const auto same_turn = std::find_if(fits.begin(), fits.end(), [&](const Fit& fit) {
            return std::abs(normalised(fit.turn_deg - best.turn_deg)) < apart_deg;
        });
        if (same_turn == fits.end()) {
            fits.push_back(best);
        } else if (best.mismatch < same_turn->mismatch) {
            *same_turn = best;
        }
    }
    return fits;
}

std::vector<Outline::Fit> Outline::fits(const Outline& other) const {
    const double areas = static_cast<double>(area_cells_) - static_cast<double>(other.area_cells_);
    if (std::abs(areas) > same * static_cast<double>(rim_cells_)) return {};
    std::vector<Fit> fits = likely_fits(other);
    std::erase_if(fits, [](const Fit& fit) { return fit.mismatch > same; });
    return fits;
}

}  // namespace durograde::region
