#include "motion/planner.hpp"

#include <algorithm>
#include <cmath>

#include "motion/profile.hpp"

namespace durograde::motion {
namespace {

/// The square of the speed that is reached from, or slowed down to, `squared` over the stretch.
double across(const Stretch& stretch, double squared) {
    return squared + 2 * stretch.acceleration * stretch.length;
}

}  // namespace

void Planner::add(const Stretch& stretch) {
    if (count_ == row_limit) settle(1);
    Planned& last = at(count_++);
    last.stretch = stretch;
    if (count_ == 1) last.entry_squared = 0.0;
    replan();
}

void Planner::extend(double length) {
    at(count_ - 1).stretch.length += length;
    replan();
}

void Planner::stop() {
    settle(count_);
}

void Planner::replan() {
    look_back();
    settle(look_forward());
}

/// From the rest at the end back: no stretch is entered faster than what follows can slow down. The
/// first one's entry is settled.
void Planner::look_back() {
    double exit_squared = 0.0;
    for (std::size_t i = count_; i-- > 1;) {
        Planned& planned = at(i);
        const double entry =
            std::min(planned.stretch.most_entry_squared, across(planned.stretch, exit_squared));
        // Nothing before it learns anything new.
        if (i + 1 < count_ && entry == planned.entry_squared) return;
        planned.entry_squared = exit_squared = entry;
    }
}

/// From the begin on: no stretch is entered faster than it can be reached. Returns how many
/// stretches lie before the last one whose entry is as fast as its corner or its approach allows:
/// whatever follows, these do not change.
std::size_t Planner::look_forward() {
    std::size_t settled = 0;
    for (std::size_t i = 0; i + 1 < count_; ++i) {
        Planned& next = at(i + 1);
        const double reached = across(at(i).stretch, at(i).entry_squared);
        if (reached < next.entry_squared) next.entry_squared = reached;
        const bool is_full = next.entry_squared == next.stretch.most_entry_squared;
        if (is_full || next.entry_squared == reached) settled = i + 1;
    }
    return settled;
}

void Planner::settle(std::size_t count) {
    for (std::size_t i = 0; i < count; ++i) settled_s_ += time_s(i);
    first_ = (first_ + count) % row_limit;
    count_ -= count;
}

double Planner::time_s(std::size_t i) const {
    const Planned& planned = at(i);
    const double exit_squared = i + 1 < count_ ? at(i + 1).entry_squared : 0.0;
    return trapezoid_s(planned.stretch.length, std::sqrt(planned.entry_squared),
                       std::sqrt(exit_squared), planned.stretch.speed,
                       planned.stretch.acceleration);
}

double Planner::total_s() const {
    double total = settled_s_;
    for (std::size_t i = 0; i < count_; ++i) total += time_s(i);
    return total;
}

}  // namespace durograde::motion
