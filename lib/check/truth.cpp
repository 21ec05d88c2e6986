#include "check/truth.hpp"

#include <algorithm>
#include <cmath>

#include "check/solids.hpp"

namespace durograde::check {
namespace {

using grammar::Op;

/// A number of the place itself.
double leaf(const grammar::Step& step, const region::Spot& spot) {
    switch (step.op) {
        case Op::x:
            return spot.point[0];
        case Op::y:
            return spot.point[1];
        case Op::z:
            return spot.point[2];
        case Op::height:
            return spot.height_mm;
        case Op::layer:
            return spot.layer;
        case Op::part:
            return spot.part;
        case Op::kind:
            return spot.kind;
        case Op::depth:
            return spot.depth_mm;
        default:
            return step.number;
    }
}

/// Truth values are 0 and 1.
double joined(Op op, double a, double b) {
    switch (op) {
        case Op::add:
            return a + b;
        case Op::subtract:
            return a - b;
        case Op::multiply:
            return a * b;
        case Op::divide:
            return a / b;
        case Op::minimum:
            return b < a ? b : a;
        case Op::maximum:
            return a < b ? b : a;
        case Op::hypotenuse:
            return std::sqrt(a * a + b * b);
        case Op::less:
            return a < b ? 1 : 0;
        case Op::less_equal:
            return a <= b ? 1 : 0;
        case Op::greater:
            return a > b ? 1 : 0;
        case Op::greater_equal:
            return a >= b ? 1 : 0;
        case Op::logical_and:
            return a != 0 && b != 0 ? 1 : 0;
        default:
            return a != 0 || b != 0 ? 1 : 0;
    }
}

double changed(Op op, double a) {
    switch (op) {
        case Op::negate:
            return -a;
        case Op::absolute:
            return a < 0 ? -a : a;
        case Op::logical_not:
            return a == 0 ? 1 : 0;
        default:
            return a > 0 ? std::sqrt(a) : 0.0;
    }
}

}  // namespace

Truth::Truth(const plan::Plan& plan) {
    for (const plan::Zone& zone : plan.zones) {
        Sentence& where = zones_.emplace_back();
        for (const grammar::Step& step : zone.where.steps) {
            Word& word = where.emplace_back(Word{&step, nullptr});
            if (step.op != Op::distance) continue;
            const auto is_named = [&](const plan::Shape& shape) { return shape.name == step.name; };
            word.shape = &*std::find_if(plan.shapes.begin(), plan.shapes.end(), is_named);
            triangles_ += triangles_of(*word.shape);
        }
    }
}

std::optional<bool> Truth::holds(const Sentence& where, const region::Spot& spot) {
    stack_.clear();
    for (const Word& word : where) {
        const grammar::Step& step = *word.step;
        if (word.shape != nullptr) {
            stack_.push_back(off_surface_mm(*word.shape, spot.point));
        } else if (step.arity == 0) {
            stack_.push_back(leaf(step, spot));
        } else if (step.arity == 1) {
            stack_.back() = changed(step.op, stack_.back());
        } else {
            const double last = stack_.back();
            stack_.pop_back();
            if (step.arity == 2) {
                stack_.back() = joined(step.op, stack_.back(), last);
            } else {  // clamp: value, low, high
                const double low = stack_.back();
                stack_.pop_back();
                const double raised = joined(Op::maximum, stack_.back(), low);
                stack_.back() = joined(Op::minimum, raised, last);
            }
        }
        if (std::isnan(stack_.back())) return std::nullopt;
    }
    return stack_.back() != 0;
}

std::optional<int> Truth::zone_at(const region::Spot& spot) {
    for (std::size_t i = 0; i < zones_.size(); ++i) {
        const std::optional<bool> holds_here = holds(zones_[i], spot);
        if (!holds_here) return std::nullopt;
        if (*holds_here) return static_cast<int>(i);
    }
    return no_zone;
}

}  // namespace durograde::check
