#include "region/depth.hpp"

#include <rapidcheck.h>

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "random.hpp"
#include "region/part_layers.hpp"

/// Depth below the surface of stacks of discs and rectangles, whose depth is known.
namespace durograde {
namespace {

using region::BeadLog;
using region::Depth;
using region::Footprint;

constexpr double width = 0.45;

/// One layer of a part, seen from above. Gives how far a place lies inside; 0 outside.
struct Layer {
    double bottom_mm = 0.0, top_mm = 0.0;
    double x = 50.0, y = 50.0;          ///< its middle
    double half_x = 0.0, half_y = 0.0;  ///< of a rectangle
    double radius = 0.0;                ///< of a disc; 0 for a rectangle
    double hole = 0.0;                  ///< radius of the round hole in its middle

    [[nodiscard]] double inside_mm(double px, double py) const {
        const double out = std::hypot(px - x, py - y);
        const double from_hole = hole > 0 ? out - hole : 1e9;
        const double from_edge =
            radius > 0 ? radius - out
                       : std::min(half_x - std::abs(px - x), half_y - std::abs(py - y));
        return std::max(0.0, std::min(from_edge, from_hole));
    }
};
using Stack = std::vector<Layer>;

/// The distance from the middle of layer `at` to the nearest place outside. `closed` holes are
/// inside.
double true_depth(const Stack& stack, std::size_t at, double px, double py, bool closed = false) {
    const double middle = (stack[at].bottom_mm + stack[at].top_mm) / 2;
    double depth = std::min(middle - stack.front().bottom_mm, stack.back().top_mm - middle);
    for (std::size_t i = 0; i < stack.size(); ++i) {
        Layer layer = stack[i];
        if (closed) layer.hole = 0.0;
        const double gap = i < at ? middle - layer.top_mm : i > at ? layer.bottom_mm - middle : 0.0;
        depth = std::min(depth, std::hypot(layer.inside_mm(px, py), gap));
    }
    return depth;
}

/// Prints stacks of layers on a bed of 100 mm.
class Bed {
  public:
    void print(const Stack& stack) {
        for (const Layer& layer : stack) {
            const double height = layer.top_mm - layer.bottom_mm;
            footprint.begin_layer(layer.bottom_mm > 0 ? height : 0.0);
            log.begin_layer(layer.top_mm);
            layer.radius > 0 ? discs(layer, height) : lines(layer, height);
        }
        log.finish();
        footprint.find_islands();
        footprint.name_part(footprint.island_at(stack.front().x, stack.front().y), 0);
    }

    std::unique_ptr<Depth> depth(const plan::Depth& how = {}) {
        auto measured = Depth::measure(how, log, footprint, {true});
        return std::get<std::unique_ptr<Depth>>(std::move(measured));
    }

    BeadLog log;
    Footprint footprint{{0, 100}, {0, 100}};
    double infill = 1.0;  ///< share of the beads that are printed within the outermost two

  private:
    void line(double x0, double y0, double x1, double y1, double z, double height) {
        const double volume = std::hypot(x1 - x0, y1 - y0) * width * height;
        footprint.paint({x0, y0, z}, {x1, y1, z}, volume);
        log.add({x0, y0, z}, {x1, y1, z}, volume);
    }
    void ring(const Layer& layer, double radius, double height) {
        constexpr int corners = 180;
        const auto angle = [&](int i) { return 2 * std::numbers::pi * i / corners; };
        for (int i = 0; i < corners; ++i) {
            line(layer.x + radius * std::cos(angle(i)), layer.y + radius * std::sin(angle(i)),
                 layer.x + radius * std::cos(angle(i + 1)),
                 layer.y + radius * std::sin(angle(i + 1)), layer.top_mm, height);
        }
    }
    /// Rings from the edge inwards, and one around the hole.
    void discs(const Layer& layer, double height) {
        const double innermost = layer.hole + width / 2;
        int count = 0;
        for (double radius = layer.radius - width / 2; radius > innermost;
             radius -= width, ++count) {
            if (count < 2 || std::fmod(count * infill, 1.0) < infill - 1e-9)
                ring(layer, radius, height);
        }
        if (layer.hole > 0) {
            ring(layer, innermost, height);
        } else {
            line(layer.x - 0.1, layer.y, layer.x + 0.1, layer.y, layer.top_mm, height);
        }
        if (infill < 1.0) {  // what joins the rings to one part
            const double reach = layer.radius - width;
            line(layer.x - reach, layer.y, layer.x + reach, layer.y, layer.top_mm, height);
        }
    }
    void lines(const Layer& layer, double height) {
        const double x0 = layer.x - layer.half_x + width / 2;
        const double x1 = layer.x + layer.half_x - width / 2;
        const double low = layer.y - layer.half_y + width / 2;
        const double high = layer.y + layer.half_y - width / 2;
        const int count = static_cast<int>(std::ceil((high - low) / (0.95 * width)));
        for (int i = 0; i <= count; ++i) {
            const double y = low + (high - low) * i / count;
            line(x0, y, x1, y, layer.top_mm, height);
        }
        line(x0, low, x0, high, layer.top_mm, height);
        line(x1, low, x1, high, layer.top_mm, height);
    }
};

Stack discs(int layers, double height, double (*radius_at)(double z)) {
    Stack stack;
    for (int i = 0; i < layers; ++i) {
        Layer layer;
        layer.bottom_mm = i * height;
        layer.top_mm = (i + 1) * height;
        layer.radius = radius_at((i + 0.5) * height);
        stack.push_back(layer);
    }
    return stack;
}

struct Error {
    double least = 0.0, most = 0.0;
};

/// How far the depth that is found is from `truth`, wherever that is a cell or more and within the
/// limit.
template <typename Truth>
Error error_of(Depth& depth, const Stack& stack, const plan::Depth& how, Truth truth) {
    Error error;
    for (std::size_t at = 0; at < stack.size(); ++at) {
        depth.seek(stack[at].top_mm);
        for (int i = 0; i < 2000; ++i) {
            const double x = 38 + 24 * std::fmod(i * 0.754877666, 1.0);
            const double y = 38 + 24 * std::fmod(i * 0.569840291, 1.0);
            const double wanted = std::min(how.limit_mm, truth(at, x, y));
            const double off = depth.mm_at(0, x, y) - wanted;
            if (wanted < how.cell_mm) continue;
            error.least = std::min(error.least, off);
            error.most = std::max(error.most, off);
        }
    }
    return error;
}

void require_within(const Stack& stack, const plan::Depth& how = {}) {
    Bed bed;
    bed.print(stack);
    const auto depth = bed.depth(how);
    const Error error = error_of(*depth, stack, how, [&](std::size_t at, double x, double y) {
        return true_depth(stack, at, x, y);
    });
    CAPTURE(error.least, error.most, how.cell_mm);
    CHECK(error.least >= -0.75 * how.cell_mm);
    CHECK(error.most <= 0.25 * how.cell_mm);
}

TEST_CASE("depth in a cylinder, a sphere, a cone and a box is what geometry says", "[depth]") {
    require_within(discs(30, 0.2, [](double) { return 8.0; }));
    require_within(discs(60, 0.2, [](double z) { return std::sqrt(36.1 - (z - 6) * (z - 6)); }));
    require_within(discs(40, 0.25, [](double z) { return 10 - 0.8 * z; }));
    Stack box = discs(40, 0.2, [](double) { return 0.0; });
    for (Layer& layer : box) {
        layer.half_x = 7.3;
        layer.half_y = 4.1;
    }
    require_within(box);
    require_within(box, {.cell_mm = 0.1, .limit_mm = 2.0});
}

TEST_CASE("depth in a tilted plate is what geometry says", "[depth]") {
    for (const double shift : {0.15, 0.4}) {
        Stack plate;
        for (int i = 0; i < 30; ++i) {
            Layer layer;
            layer.bottom_mm = 0.2 * i;
            layer.top_mm = 0.2 * (i + 1);
            layer.x = 44 + shift * i;
            layer.half_x = 2.2;
            layer.half_y = 6.0;
            plate.push_back(layer);
        }
        require_within(plate);
    }
}

TEST_CASE("depth is found at any place of the cells' grid", "[depth]") {
    REQUIRE(rc::check("a stack of discs and plates somewhere", [](std::uint64_t seed) {
        sheets::Random random(seed);
        const auto number = [&](double low, double high) {
            return low + (high - low) * random.between(0, 100'000) * 1e-5;
        };
        Stack stack;
        const double height = number(0.1, 0.4);
        Layer layer;
        layer.x = number(45.0, 55.0);
        layer.y = number(45.0, 55.0);
        const bool is_round = random.chance(50);
        const int layers = random.between(3, 24);
        for (int i = 0; i < layers; ++i) {
            layer.bottom_mm = i * height;
            layer.top_mm = (i + 1) * height;
            layer.radius = is_round ? number(2.0, 8.0) : 0.0;
            layer.half_x = number(2.0, 8.0);
            layer.half_y = number(2.0, 8.0);
            stack.push_back(layer);
        }
        // What the first layer alone covers is brim, no part.
        stack[0].radius = stack[1].radius;
        stack[0].half_x = stack[1].half_x;
        stack[0].half_y = stack[1].half_y;
        Bed bed;
        bed.print(stack);
        const plan::Depth how{.cell_mm = number(0.1, 0.3), .limit_mm = number(0.6, 6.0)};
        const auto depth = bed.depth(how);
        const Error error = error_of(*depth, stack, how, [&](std::size_t at, double x, double y) {
            return true_depth(stack, at, x, y);
        });
        // Layers of any sizes: 1.57 cells too small and 0.21 too large were the worst of 2,500
        // stacks.
        RC_ASSERT(error.least >= -2.0 * how.cell_mm);
        RC_ASSERT(error.most <= 0.25 * how.cell_mm);
    }));
}

/// A cylinder of 16 mm with a round hole of 6 mm from layer `first` to layer `last`.
Stack hollow(int layers, int first, int last) {
    Stack stack = discs(layers, 0.2, [](double) { return 8.0; });
    for (int i = first; i <= last; ++i) stack[static_cast<std::size_t>(i)].hole = 3.0;
    return stack;
}

TEST_CASE("a closed cavity is no surface, an open one is where the plan says so", "[depth]") {
    const bool counts = GENERATE(true, false);
    const plan::Depth how{.limit_mm = 4.0, .open_cavities = counts};
    const struct {
        int first, last;
        bool is_open;
    } cases[] = {{10, 20, false}, {0, 20, true}, {10, 29, true}, {0, 29, true}};
    for (const auto& [first, last, is_open] : cases) {
        const Stack stack = hollow(30, first, last);
        Bed bed;
        bed.print(stack);
        const auto depth = bed.depth(how);
        const bool closed = !(is_open && counts);
        CAPTURE(first, last, counts);
        const Error error = error_of(*depth, stack, how, [&](std::size_t at, double x, double y) {
            // What lies in the hole itself is no part's.
            const bool is_material = stack[at].inside_mm(x, y) > 0;
            return is_material ? true_depth(stack, at, x, y, closed) : 0.0;
        });
        CHECK(error.least >= -0.75 * how.cell_mm);
        CHECK(error.most <= 0.25 * how.cell_mm);
    }
}

TEST_CASE("sparse infill is no surface, even where it is open at the top", "[depth]") {
    const Stack stack = discs(20, 0.2, [](double) { return 8.0; });
    Bed bed;
    bed.infill = 0.2;
    bed.print(stack);
    const plan::Depth how;
    const auto depth = bed.depth(how);
    const Error error = error_of(*depth, stack, how, [&](std::size_t at, double x, double y) {
        return true_depth(stack, at, x, y);
    });
    CHECK(error.least >= -0.75 * how.cell_mm);
    CHECK(error.most <= 0.25 * how.cell_mm);
}

TEST_CASE("depth needs layers above each other", "[depth]") {
    Stack falling = discs(6, 0.2, [](double) { return 5.0; });
    std::swap(falling[2], falling[4]);
    Bed bed;
    bed.print(falling);
    const auto refused = Depth::measure({}, bed.log, bed.footprint, {true});
    REQUIRE(std::holds_alternative<region::Misplaced>(refused));
    CHECK(std::get<region::Misplaced>(refused).text.find("falls from") != std::string::npos);
}

}  // namespace
}  // namespace durograde
