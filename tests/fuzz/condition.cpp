#include "condition.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "region/margin.hpp"
#include "targets.hpp"

namespace durograde::fuzz {
namespace {

using grammar::Condition;
using grammar::ConditionError;
using grammar::Op;
using grammar::Step;

const std::vector<plan::Shape>& shapes() {
    static const std::vector<plan::Shape> list = {
        {"tongue", plan::Capsule{{-5, 0, 0.3}, {5, 0, 0.3}, 1.2}},
        {"ball", plan::Sphere{{1, 2, 3}, 4}},
        {"block", plan::Box{{0, 0, 5}, {10, 12, 14}, 1.5}},
        {"pin", plan::Cylinder{{0, 0, 0}, {1, 1, 9}, 2}},
        {"tip", plan::Cone{{0, 0, 9}, {0, 1, 12}, {2, 0}}},
        {"floor", plan::Plane{{0, 0, 1}, {0, 0.6, 0.8}}}};
    return list;
}

const region::Fields& fields() {
    static const region::Fields all(shapes());
    return all;
}

/// What the loader refuses: it never comes to a margin.
bool is_refused_later(const Step& step) {
    const auto named = [&](const plan::Shape& shape) { return shape.name == step.name; };
    return step.op == Op::depth ||
           (step.op == Op::distance && std::none_of(shapes().begin(), shapes().end(), named));
}

region::Spot spot_at(const plan::Vec3& point) {
    return {point, point[2], 2.0, 1.0};
}

/// The largest number met on the way: what rounding in binary is measured by.
double largest_at(const Condition& condition, const region::Spot& spot) {
    double largest = 1.0;
    for (std::size_t count = 1; count <= condition.steps.size(); ++count) {
        // Each step ends a part of the condition that is a condition of its own in postfix order.
        std::size_t wanted = 1, begin = count;
        while (wanted > 0) wanted = wanted - 1 + condition.steps[--begin].arity;
        const auto first = condition.steps.begin() + static_cast<std::ptrdiff_t>(begin);
        const auto last = condition.steps.begin() + static_cast<std::ptrdiff_t>(count);
        const double value = region::Margin({{first, last}}, fields()).at(spot);
        if (!std::isnan(value) && std::abs(value) < 1e29)
            largest = std::max(largest, std::abs(value));
    }
    return largest;
}

/// Between two points a margin changes no faster than its bound, rounding apart.
void promise_bound(const Condition& condition, const region::Margin& margin, const plan::Vec3& from,
                   const plan::Vec3& to) {
    const region::Spot a = spot_at(from), b = spot_at(to);
    const double at_a = margin.at(a), at_b = margin.at(b);
    promise(!std::isnan(at_a) && !std::isnan(at_b), "a margin with a bound is no number");
    const double bound = margin.lipschitz();
    const double way = std::hypot(from[0] - to[0], from[1] - to[1], from[2] - to[2]);
    if (std::abs(at_a - at_b) <= bound * way * (1 + 1e-9)) return;
    const double rounding =
        1e-12 * (1 + bound) * std::max(largest_at(condition, a), largest_at(condition, b));
    promise(std::abs(at_a - at_b) <= bound * way * (1 + 1e-9) + rounding,
            "a margin changes faster than its bound");
}

void promise_error(const ConditionError& error, std::size_t size) {
    promise(error.column >= 1 && error.column <= size + 1, "the error lies outside");
    promise(!error.text.empty() && !error.mend.empty(), "an error without reason or remedy");
}

}  // namespace

void try_condition(std::string_view bytes) {
    const auto parsed = grammar::parse_condition(bytes);
    if (const auto* error = std::get_if<ConditionError>(&parsed))
        return promise_error(*error, bytes.size());
    const auto& condition = std::get<Condition>(parsed);
    promise(condition.steps.size() <= grammar::condition_steps_limit, "too many steps");
    if (std::any_of(condition.steps.begin(), condition.steps.end(), is_refused_later)) return;
    const region::Margin margin(condition, fields());
    if (!(margin.lipschitz() < region::unbounded)) {
        promise(margin.lipschitz() == region::unbounded, "a bound that is no number");
        static_cast<void>(margin.at(spot_at({1, 2, 3})));
        return;
    }
    constexpr std::array<plan::Vec3, 7> points = {{{0, 0, 0},
                                                   {1.01, 2.02, 3.03},
                                                   {-7.3, 4.1, 0.2},
                                                   {150, -90, 12},
                                                   {0, 0, 10.5},
                                                   {4.99, 0.01, 0.3},
                                                   {5, 6, 12}}};
    constexpr std::array<plan::Vec3, 4> ways = {
        {{1e-3, 0, 0}, {0, -0.02, 0.01}, {0.3, 0.2, -0.1}, {0, 0, 2}}};
    for (const plan::Vec3& from : points) {
        for (const plan::Vec3& way : ways) {
            const plan::Vec3 to = {from[0] + way[0], from[1] + way[1], from[2] + way[2]};
            promise_bound(condition, margin, from, to);
        }
    }
}

}  // namespace durograde::fuzz
