#pragma once

#include <cmath>
#include <numbers>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "condition.hpp"
#include "plan/plan.hpp"
#include "program/span.hpp"
#include "random_shapes.hpp"

/// Conditions and strokes at random, for what must hold of any of them.
namespace durograde::region_test {

inline std::vector<plan::Shape> some_shapes(sheets::Random& random) {
    std::vector<plan::Shape> shapes;
    for (int i = 0; i < 3; ++i) {
        shapes.push_back(random_shape(random));
        shapes.back().name = std::string(1, static_cast<char>('a' + i));
    }
    return shapes;
}

inline std::string number_text(sheets::Random& random) {
    return std::to_string(random.between(-800, 800)) + "/100";
}

/// A sum of fields whose slope is known.
inline std::string random_number(sheets::Random& random, int depth) {
    const auto deeper = [&] { return random_number(random, depth - 1); };
    const std::vector<std::string> leaves = {"x",           "y",           "z",
                                             "distance(a)", "distance(b)", "distance(c)"};
    if (depth == 0) return leaves[static_cast<std::size_t>(random.between(0, 5))];
    switch (random.between(0, 8)) {
        case 0:
            return "(" + deeper() + " + " + deeper() + ")";
        case 1:
            return "(" + deeper() + " - " + deeper() + ")";
        case 2:
            return "min(" + deeper() + ", " + deeper() + ")";
        case 3:
            return "max(" + deeper() + ", " + deeper() + ")";
        case 4:
            return "abs(" + deeper() + ")";
        case 5:
            return "(2.5 * " + deeper() + ")";
        case 6:
            return "(" + deeper() + " / 3)";
        case 7:
            return "clamp(" + deeper() + ", -2, 5)";
        default:
            return "-" + deeper();
    }
}

inline std::string random_truth(sheets::Random& random, int depth) {
    const auto deeper = [&] { return random_truth(random, depth - 1); };
    if (depth == 0) {
        const char* const compare[] = {" < ", " <= ", " > ", " >= "};
        return random_number(random, random.between(0, 2)) + compare[random.between(0, 3)] +
               number_text(random);
    }
    switch (random.between(0, 3)) {
        case 0:
            return "(" + deeper() + " and " + deeper() + ")";
        case 1:
            return "(" + deeper() + " or " + deeper() + ")";
        case 2:
            return "not (" + deeper() + ")";
        default:
            return deeper();
    }
}

inline grammar::Condition condition(const std::string& text) {
    return std::get<grammar::Condition>(grammar::parse_condition(text));
}

inline plan::Plan plan_of(std::vector<plan::Shape> shapes, const std::vector<std::string>& wheres) {
    plan::Plan plan;
    plan.shapes = std::move(shapes);
    for (const std::string& where : wheres) {
        plan::Zone zone;
        zone.where_text = where;
        zone.where = condition(where);
        plan.zones.push_back(zone);
    }
    return plan;
}

/// Gives zone number i of `plan` the temperature number i, 0 to keep its tool, and shifts
/// boundaries.
inline void interlock(plan::Plan& plan, const std::vector<double>& temperatures_c, double mm) {
    plan.split.interlock_mm = mm;
    for (std::size_t i = 0; i < plan.zones.size(); ++i) {
        if (temperatures_c[i] == 0) continue;
        plan::Tool tool;
        tool.number = static_cast<int>(i);
        tool.temperature_c = temperatures_c[i];
        plan.tools.push_back(tool);
        plan.zones[i].tool = plan::ToolNumber{tool.number};
    }
}

/// A stroke of lines and arcs, one after another, as a span of its own.
class StrokeMaker {
  public:
    explicit StrokeMaker(const program::Point& start) : at_(start) {
        span_.strokes.emplace_back();
        span_.strokes[0].start = start;
    }
    StrokeMaker& line(double x, double y) {
        add(x, y, at_.z);
        return *this;
    }
    /// `sweep_deg` counter-clockwise around (cx, cy), rising by `rise`.
    StrokeMaker& arc(double cx, double cy, double sweep_deg, double rise = 0) {
        const double radius = std::hypot(at_.x - cx, at_.y - cy);
        const double sweep = sweep_deg * std::numbers::pi / 180;
        const double end = std::atan2(at_.y - cy, at_.x - cx) + sweep;
        span_.arcs.push_back({cx, cy, radius, sweep});
        add(cx + radius * std::cos(end), cy + radius * std::sin(end), at_.z + rise);
        span_.segments.back().arc = static_cast<std::int32_t>(span_.arcs.size()) - 1;
        return *this;
    }
    [[nodiscard]] const program::Span& span() const { return span_; }
    [[nodiscard]] const program::Stroke& stroke() const { return span_.strokes[0]; }
    [[nodiscard]] const program::Point& at() const { return at_; }

  private:
    void add(double x, double y, double z) {
        program::Segment segment;
        segment.x = x;
        segment.y = y;
        segment.z = z;
        segment.e_mm = 1;
        span_.segments.push_back(segment);
        span_.strokes[0].last_segment = static_cast<std::uint32_t>(span_.segments.size());
        at_ = {x, y, z};
    }

    program::Span span_;
    program::Point at_;
};

inline StrokeMaker random_stroke(sheets::Random& random) {
    const auto any = [&] { return random.between(-12'000, 12'000) * 1e-3; };
    StrokeMaker maker({any(), any(), random.between(0, 40) * 0.2});
    const int count = random.between(1, 8);
    for (int i = 0; i < count; ++i) {
        if (random.chance(60)) {
            maker.line(any(), any());
        } else {
            maker.arc(any(), any(), random.between(-359, 359) + 0.5);
        }
        if (random.chance(30))
            maker.line(maker.at().x + 0.013, maker.at().y);  // a short one between
    }
    return maker;
}

}  // namespace durograde::region_test
