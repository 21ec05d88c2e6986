#include "region/margin.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>

namespace durograde::region {
namespace {

using grammar::Op;

constexpr double always = 1e30;  // margin of a constant truth value: farther than any path is long
/// Margin of a comparison whose sides are equal, so small that it is no way: strict ones fail
/// there.
constexpr double equal_sides = std::numeric_limits<double>::min();
constexpr std::size_t stack_size = grammar::condition_steps_limit + 1;

/// What is known of a value on the stack while compiling.
struct Bound {
    double slope = 0.0;  ///< largest change per mm
    bool constant = false;
    double value = 0.0;  ///< where constant
    unsigned axes = 0;   ///< that it depends on, a bit each
};

double two(Op op, double a, double b) {
    switch (op) {
        case Op::add:
            return a + b;
        case Op::subtract:
            return a - b;
        case Op::multiply:
            return a * b;
        case Op::divide:
            return a / b;
        case Op::hypotenuse:
            return std::hypot(a, b);
        case Op::minimum:
        case Op::logical_or:
            return std::min(a, b);
        case Op::maximum:
        case Op::logical_and:
            return std::max(a, b);
        case Op::less:
            return a != b ? a - b : equal_sides;
        case Op::less_equal:
            return a != b ? a - b : -equal_sides;
        case Op::greater:
            return a != b ? b - a : equal_sides;
        default:
            return a != b ? b - a : -equal_sides;  // greater_equal
    }
}

double one(Op op, double a) {
    switch (op) {
        case Op::negate:
        case Op::logical_not:
            return -a;
        case Op::absolute:
            return std::abs(a);
        default:
            return std::sqrt(std::max(0.0, a));  // square root
    }
}

bool is_comparison(Op op) {
    return op == Op::less || op == Op::less_equal || op == Op::greater || op == Op::greater_equal;
}

/// The margin of a comparison that no way along a layer changes: it holds everywhere or nowhere,
/// and layers are no mm.
double truth(Op op, double a, double b) {
    const bool holds = op == Op::less         ? a < b
                       : op == Op::less_equal ? a <= b
                       : op == Op::greater    ? a > b
                                              : a >= b;
    return holds ? -always : always;
}

double times(double slope, double factor) {
    // Without a bound there is none either for its zeroth part: 0 · ∞ would be no number.
    return slope == 0.0 || slope == unbounded ? slope : slope * std::abs(factor);
}

Bound bound_of_product(const Bound& a, const Bound& b) {
    if (a.constant) return {times(b.slope, a.value), false, 0.0};
    if (b.constant) return {times(a.slope, b.value), false, 0.0};
    return {a.slope == 0.0 && b.slope == 0.0 ? 0.0 : unbounded, false, 0.0};
}

Bound bound_of_quotient(const Bound& a, const Bound& b) {
    if (b.constant && b.value != 0.0) return {times(a.slope, 1.0 / b.value), false, 0.0};
    return {a.slope == 0.0 && b.slope == 0.0 ? 0.0 : unbounded, false, 0.0};
}

bool are_square(const Bound& a, const Bound& b) {
    return (a.axes & b.axes) == 0;
}

Bound bound_of_two(Op op, const Bound& a, const Bound& b) {
    if (a.constant && b.constant) return {0.0, true, two(op, a.value, b.value)};
    switch (op) {
        case Op::multiply:
            return bound_of_product(a, b);
        case Op::divide:
            return bound_of_quotient(a, b);
        case Op::minimum:
        case Op::maximum:
        case Op::logical_and:
        case Op::logical_or:
            return {std::max(a.slope, b.slope), false, 0.0};
        case Op::hypotenuse:
            // Values of different axes change at right angles to each other.
            return {are_square(a, b) ? std::max(a.slope, b.slope) : a.slope + b.slope, false, 0.0};
        default:  // sums and differences
            return {are_square(a, b) ? std::hypot(a.slope, b.slope) : a.slope + b.slope, false,
                    0.0};
    }
}

unsigned axes_of_leaf(const grammar::Step& step) {
    switch (step.op) {
        case Op::number:
        case Op::truth:
        case Op::layer:
        case Op::part:
        case Op::kind:
            return 0;
        case Op::x:
            return 1;
        case Op::y:
            return 2;
        case Op::z:
        case Op::height:
            return 4;
        default:
            return 7;
    }
}

/// How much a leaf can change.
double slope_of_leaf(const grammar::Step& step) {
    switch (step.op) {
        case Op::number:
        case Op::truth:
        case Op::layer:
        case Op::part:
        case Op::kind:
            return 0.0;
        case Op::depth:
            return std::numbers::sqrt2;  // no more than 1 along either axis of the cells
        default:
            return 1.0;
    }
}

/// The largest change of the whole condition, where `change_of` gives that of each leaf.
template <typename ChangeOf>
double largest_change(const grammar::Condition& condition, ChangeOf change_of) {
    std::vector<Bound> stack;
    for (const grammar::Step& step : condition.steps) {
        if (step.arity == 0) {
            stack.push_back(
                {change_of(step), step.op == Op::number, step.number, axes_of_leaf(step)});
        } else if (step.arity == 1) {
            Bound& a = stack.back();
            if (step.op == Op::square_root) a.slope = a.slope == 0.0 ? 0.0 : unbounded;
            a.value = one(step.op, a.value);
        } else if (step.arity == 2) {
            const Bound b = stack.back();
            stack.pop_back();
            const unsigned axes = stack.back().axes | b.axes;
            stack.back() = bound_of_two(step.op, stack.back(), b);
            stack.back().axes = axes;
        } else {  // clamp
            const Bound high = stack.back(), low = stack[stack.size() - 2];
            stack.resize(stack.size() - 2);
            Bound& a = stack.back();
            a = {std::max({a.slope, low.slope, high.slope}), false, 0.0,
                 a.axes | low.axes | high.axes};
        }
    }
    return stack.back().slope;
}

}  // namespace

double Distances::to(const Field& field, const plan::Vec3& point, Precision precision) {
    if (field_ != &field || precision_ < precision) {
        field_ = &field;
        precision_ = field.off_mm() > 0.0 ? precision : Precision::exact;
        mm_ = precision_ == Precision::exact ? field.exact_mm(point) : field.rough_mm(point);
    }
    return mm_;
}

Margin::Margin(const grammar::Condition& condition, const Fields& fields) {
    std::vector<bool> moves;  // whether each value on the stack changes along a layer of a part
    for (const grammar::Step& step : condition.steps) {
        const bool is_distance = step.op == Op::distance;
        bool any = step.arity == 0 && axes_of_leaf(step) != 0;
        for (std::size_t i = 0; i < step.arity; ++i) {
            any = any || moves.back();
            moves.pop_back();
        }
        moves.push_back(any);
        code_.push_back({step.op, step.number, is_distance ? &fields.find(step.name) : nullptr,
                         !any && is_comparison(step.op)});
    }
    lipschitz_ = largest_change(condition, slope_of_leaf);
    off_ = largest_change(condition, [&](const grammar::Step& step) {
        return step.op == Op::distance ? fields.find(step.name).off_mm() : 0.0;
    });
}

double Margin::at(const Spot& spot) const {
    Distances distances;
    return at(spot, Precision::exact, distances);
}

double Margin::at(const Spot& spot, Precision precision, Distances& distances) const {
    std::array<double, stack_size> stack;
    std::size_t top = 0;
    for (const Code& code : code_) {
        switch (code.op) {
            case Op::number:
                stack[top++] = code.number;
                break;
            case Op::truth:
                stack[top++] = code.number != 0.0 ? -always : always;
                break;
            case Op::x:
                stack[top++] = spot.point[0];
                break;
            case Op::y:
                stack[top++] = spot.point[1];
                break;
            case Op::z:
                stack[top++] = spot.point[2];
                break;
            case Op::height:
                stack[top++] = spot.height_mm;
                break;
            case Op::layer:
                stack[top++] = spot.layer;
                break;
            case Op::part:
                stack[top++] = spot.part;
                break;
            case Op::kind:
                stack[top++] = spot.kind;
                break;
            case Op::distance:
                stack[top++] = distances.to(*code.field, spot.point, precision);
                break;
            case Op::depth:
                stack[top++] = spot.depth_mm;
                break;
            case Op::negate:
            case Op::logical_not:
            case Op::absolute:
            case Op::square_root:
                stack[top - 1] = one(code.op, stack[top - 1]);
                break;
            case Op::clamp:
                top -= 2;
                stack[top - 1] = std::min(std::max(stack[top - 1], stack[top]), stack[top + 1]);
                break;
            default:
                --top;
                stack[top - 1] = code.is_steady ? truth(code.op, stack[top - 1], stack[top])
                                                : two(code.op, stack[top - 1], stack[top]);
                break;
        }
    }
    return stack[0];
}

}  // namespace durograde::region
