#include "check/filament_watch.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>

namespace durograde::check {
namespace {

std::string length_text(double mm) {
    std::array<char, 32> text{};
    std::snprintf(text.data(), text.size(), "%.4f mm", mm);
    return text.data();
}

}  // namespace

FilamentWatch::Fed FilamentWatch::move(const Act& act, const Precision& precision,
                                       std::uint64_t output_line) {
    const Retractions::Drawn drawn = retractions_.current();
    const double surplus_mm = retractions_.apply(act);
    if (act.kind != Kind::filament) return Fed::nothing;
    balance_.add_rounding(2, precision.e_mm);
    if (surplus_mm <= 0) return Fed::nothing;
    balance_.feed(surplus_mm);
    if (priming_) {
        balance_.want(surplus_mm);
        primed_mm_ += surplus_mm;
        return Fed::nothing;
    }
    if (surplus_mm <= rounding_mm(precision)) return Fed::nothing;
    if (is_given_back(act.e_mm, precision)) {
        balance_.want(surplus_mm);
        return Fed::surplus;
    }
    // What our own lines feed for a restart is told from what is laid by its amount alone.
    const auto& retract = travels_.of(tool_).retract;
    const double own_mm = drawn.any() && retract ? retract->restart_mm : 0.0;
    const bool restarts = surplus_mm <= own_mm + owed_mm_ + rounding_mm(precision);
    if (!restarts && Retractions::feeds_in_place(act, drawn, surplus_mm)) return Fed::in_place;
    return judge_surplus(surplus_mm, drawn.any(), precision, output_line);
}

void FilamentWatch::feed_around_swap(const Act& act) {
    if (act.e_mm == 0.0) return;
    Act fed = act;
    fed.kind = Kind::filament;
    balance_.declare(retractions_.apply(fed));
}

/// At the end the input's lines stand as they are, and what they give back to a tool the output's
/// may not lack.
bool FilamentWatch::is_given_back(double fed_mm, const Precision& precision) {
    std::vector<double>& given = layer_.given_back_mm;
    const auto same = std::find_if(given.begin(), given.end(), [&](double mm) {
        return std::abs(mm - fed_mm) <= rounding_mm(precision);
    });
    if (same == given.end()) return false;
    given.erase(same);
    return true;
}

FilamentWatch::Fed FilamentWatch::judge_surplus(double surplus_mm, bool restarts,
                                                const Precision& precision,
                                                std::uint64_t output_line) {
    const auto& retract = travels_.of(tool_).retract;
    const double own_mm = restarts && retract ? retract->restart_mm : 0.0;
    const double given_mm = std::min(owed_mm_, surplus_mm);
    owed_mm_ -= given_mm;
    const double off_mm = surplus_mm - given_mm, limit_mm = own_mm + rounding_mm(precision);
    balance_.want(std::abs(off_mm - own_mm) <= rounding_mm(precision) ? own_mm : off_mm);
    if (off_mm > limit_mm) {
        ledger_.fail(Invariant::balanced, {off_mm, limit_mm}, {0, output_line},
                     "feeds " + length_text(surplus_mm) + " more than was retracted");
    }
    return given_mm > 0 ? Fed::surplus : Fed::nothing;
}

void FilamentWatch::piece(const Stroke& stroke, bool at_start, const Act& act,
                          const Precision& precision, Lines lines) {
    const Retractions::Drawn& drawn = retractions_.current();
    const double still_mm = drawn.mm - (at_start ? stroke.retracted_mm : 0.0);
    const double limit_mm = rounding_mm(precision);
    if (still_mm > limit_mm) {
        ledger_.fail(Invariant::balanced, {still_mm, limit_mm}, lines,
                     "extrudes while " + length_text(still_mm) + " of filament are retracted");
    } else {
        ledger_.note(Invariant::balanced, still_mm, limit_mm);
    }
    if (drawn.by_machine && !(at_start && stroke.machine_retracted)) {
        ledger_.fail(Invariant::balanced, {}, lines, "extrudes after G10 without G11");
    }
    const double place_limit_mm = 2 * precision.xy_mm;
    if (primed_at_ && distance_xy(*primed_at_, act.from) > place_limit_mm) {
        ledger_.fail(Invariant::same_beads, {distance_xy(*primed_at_, act.from), place_limit_mm},
                     lines, "the prime before it does not lie at its start");
    }
    primed_at_.reset();
}

void FilamentWatch::prime_begins(const Point& at, const OozeBounds::Lost& lost,
                                 std::uint64_t output_line) {
    lost_ = lost;
    if (priming_)
        ledger_.fail(Invariant::same_beads, {}, {0, output_line}, "a prime within a prime");
    priming_ = true;
    primed_mm_ = 0.0;
    prime_at_ = at;
}

/// As much as the tool primes, at the place where it does.
void FilamentWatch::prime_ends(const Precision& precision, std::uint64_t output_line) {
    priming_ = false;
    const plan::Tool* tool = plan_.find_tool(tool_);
    const bool primes = tool != nullptr && tool->prime.has_value() && !tool->prime->on_block;
    const double asked_mm = primes ? tool->prime->length_mm : 0.0;
    const OozeBounds::Lost lost = primes && tool->prime->refills ? lost_ : OozeBounds::Lost{};
    const double area_mm2 = plan_.machine.filament_area_mm2();
    const double least_mm = asked_mm + lost.least_mm3 / area_mm2;
    const double most_mm = asked_mm + lost.most_mm3 / area_mm2;
    const double off_asked_mm = std::max(least_mm - primed_mm_, primed_mm_ - most_mm);
    if (off_asked_mm > rounding_mm(precision)) {
        ledger_.fail(Invariant::same_beads, {off_asked_mm, rounding_mm(precision)},
                     {0, output_line},
                     "primes " + length_text(primed_mm_) + " in place of " +
                         length_text(primed_mm_ < least_mm ? least_mm : most_mm));
    }
    if (!primes) return;
    if (!tool->prime->at_spot) {
        primed_at_ = prime_at_;
        return;
    }
    const double off_mm =
        std::hypot(prime_at_.x - tool->prime->x_mm, prime_at_.y - tool->prime->y_mm);
    const double limit_mm = 2 * precision.xy_mm;
    if (off_mm <= limit_mm) return;
    ledger_.fail(Invariant::same_beads, {off_mm, limit_mm}, {0, output_line},
                 "primes beside its spot");
}

void FilamentWatch::finish(const Precision& precision, std::uint64_t output_line) {
    if (priming_) ledger_.fail(Invariant::same_beads, {}, {0, output_line}, "a prime without end");
    const double rounded_mm = rounding_mm(precision) * static_cast<double>(owed_times_ + 1);
    if (owed_mm_ <= rounded_mm) return ledger_.note(Invariant::nothing_lost, owed_mm_, rounded_mm);
    ledger_.fail(Invariant::nothing_lost, {owed_mm_, rounded_mm}, {0, output_line},
                 length_text(owed_mm_) + " of filament that restarts of the input feed are lost");
}

}  // namespace durograde::check
