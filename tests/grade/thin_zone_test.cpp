#include <fmt/format.h>

#include <array>
#include <catch2/catch.hpp>
#include <cmath>
#include <functional>
#include <numbers>

#include "grading.hpp"
#include "plan/load.hpp"
#include "plans.hpp"

/// `thin-zone` from the program to the warning, at the thickness that a plan asks for where it says
/// nothing (four beads of 0.4 mm): sound designs have none, thin walls have one.
namespace durograde {
namespace {

constexpr double height_mm = 0.24, bead_mm = 0.4;

/// A part by layers, about its own middle.
class Part {
  public:
    /// Rows along x of whatever `inside` holds, their ends a half bead within it.
    Part& rows(double high_mm, const std::function<bool(double, double, double)>& inside) {
        for (double z = height_mm; z <= high_mm + 1e-9; z += height_mm) {
            layer(z);
            for (double y = -15 + bead_mm / 2; y < 15; y += bead_mm) row(y, z, inside);
        }
        return *this;
    }
    /// Beads along a wall, side by side, as wide as the wall asks for: `at(share, across, z)` is
    /// the place a share along its way and so far across it, from 0 to the wall's width.
    Part& wall(double high_mm, double wall_mm,
               const std::function<std::array<double, 2>(double, double, double)>& at) {
        const int beads = static_cast<int>(std::lround(wall_mm / bead_mm));
        for (double z = height_mm; z <= high_mm + 1e-9; z += height_mm) {
            layer(z);
            for (int i = 0; i < beads; ++i) {
                const double across = wall_mm * (i + 0.5) / beads;
                constexpr int legs = 40;
                std::array<double, 2> last = at(0, across, z);
                travel(last);
                for (int leg = 1; leg <= legs; ++leg) {
                    const auto next = at(1.0 * leg / legs, across, z);
                    bead(last, next, wall_mm / beads);
                    last = next;
                }
            }
        }
        return *this;
    }
    [[nodiscard]] const std::string& text() const { return text_; }

  private:
    void layer(double z) { text_ += fmt::format("G1 Z{:.3f} F600\n", z); }
    void travel(std::array<double, 2> to) {
        text_ += fmt::format("G1 X{:.3f} Y{:.3f} F9000\n", 100 + to[0], 100 + to[1]);
    }
    void bead(std::array<double, 2> from, std::array<double, 2> to, double width_mm) {
        constexpr double filament_mm2 = 1.75 * 1.75 / 4 * std::numbers::pi;
        const double length = std::hypot(to[0] - from[0], to[1] - from[1]);
        text_ += fmt::format("G1 X{:.3f} Y{:.3f} E{:.5f} F1800\n", 100 + to[0], 100 + to[1],
                             length * width_mm * height_mm / filament_mm2);
    }
    void row(double y, double z, const std::function<bool(double, double, double)>& inside) {
        constexpr double step = 0.05;
        double from = 0;
        bool is_in = false;
        for (int i = -320; i <= 320; ++i) {
            const double x = i * step;
            const bool now = i < 320 && inside(x + step / 2, y, z - height_mm / 2);
            if (now && !is_in) from = x;
            if (!now && is_in && x - from > bead_mm + step) {
                travel({from + bead_mm / 2, y});
                bead({from + bead_mm / 2, y}, {x - bead_mm / 2, y}, bead_mm);
            }
            is_in = now;
        }
    }

    std::string text_ = "G21\nG90\nM83\nG28\nM104 S190\nM109 S190\n";
};

/// Tool 0 prints where `firm` holds, tool 1, the soft one, elsewhere.
plan::Plan plan_of(const std::string& firm, const std::string& rest = "") {
    const std::string zones = "[[zone]]\nname = \"firm\"\nwhere = \"" + firm +
                              "\"\ntool = 0\n[[zone]]\nname = \"soft\"\nwhere = \"true\"\n"
                              "tool = 1\n[sheet]\nplace = [{ x = 100, y = 100, turn = 0 }]\n";
    return plan::load_text(support::two_tools_text("", "", zones + rest), "thin.toml");
}

std::string thin_zones(const Part& part, const plan::Plan& plan) {
    grade::Figures figures;
    support::graded(plan, part.text(), figures);
    std::string found;
    for (const Diagnostic& warning : figures.warnings)
        if (warning.code == "thin-zone") found += warning.text + "\n";
    return found;
}

const char* const no_zone = "height < -1";

bool is_box(double x, double y) {
    return std::abs(x) < 15 && std::abs(y) < 10;
}
double to_segment(double x, double y, double half_mm) {
    return std::hypot(std::max(0.0, std::abs(x) - half_mm), y);
}

}  // namespace

TEST_CASE("seventeen sound designs and more have no thin zone", "[grade][thickness]") {
    const auto sound = [](const char* name, const Part& part, const plan::Plan& plan) {
        INFO(name);
        CHECK(thin_zones(part, plan) == "");
    };
    const auto box = Part().rows(5.28, [](double x, double y, double) { return is_box(x, y); });
    sound("a box, all soft", box, plan_of(no_zone));
    sound("2.64 mm of soft layers", box, plan_of("height < 2.6"));
    sound("1.68 mm of soft layers", box, plan_of("height < 3.6"));
    sound("a soft skin of 1.9 mm", box,
          plan_of("max(abs(x) - 13.1, abs(y) - 8.1, height - 3.34) < 0"));
    sound("halves", box, plan_of("x < 0.013"));
    sound("halves with teeth of 0.3 mm", box, plan_of("x < 0.013", "[split]\ninterlock = 0.3\n"));
    sound("a firm core with teeth of 0.3 mm", box,
          plan_of("hypot(x, y) < 6.013", "[split]\ninterlock = 0.3\n"));
    sound("a soft corner of 60 degrees", box, plan_of("y < 1.7321 * x + 3.1"));
    sound("a boundary that slopes by 45 degrees", box, plan_of("height < 2.7 + x"));
    sound("a boundary that slopes by 40 degrees", box, plan_of("height < 2.7 + 0.84 * x"));
    sound("a boundary that slopes the other way", box, plan_of("height < 2.7 - x - 0.3 * y"));
    sound("a bent boundary", box, plan_of("hypot(x, height + 12) < 14.3"));
    const auto disc =
        Part().rows(4.8, [](double x, double y, double) { return std::hypot(x, y) < 10; });
    sound("a disc around a firm middle", disc, plan_of("hypot(x, y) < 5.013"));
    sound("a disc with a soft top", disc, plan_of("height < 2.2"));
    const auto capsule =
        Part().rows(4.8, [](double x, double y, double) { return to_segment(x, y, 8) < 5; });
    sound("a capsule around its firm axis", capsule,
          plan_of("hypot(max(0, abs(x) - 8), y) < 2.613"));
    sound("a capsule of halves", capsule, plan_of("y < 0.013"));
    const auto angle = Part().rows(
        4.8, [](double x, double y, double) { return is_box(x, y) && (x < 4 || y < 3); });
    sound("an L", angle, plan_of(no_zone));
    sound("an L with a firm leg", angle, plan_of("y < 3.013"));
    const auto ring = Part().wall(4.8, 2.4, [](double share, double across, double) {
        const double turn = 2 * std::numbers::pi * share;
        return std::array{(6 + across) * std::cos(turn), (6 + across) * std::sin(turn)};
    });
    sound("a ring 2.4 mm thick", ring, plan_of(no_zone));
    const auto sloped = Part().rows(7.2, [](double x, double y, double z) {
        return std::abs(y) < 8 && x > -10 + 0.5 * z && x < 4 + 0.5 * z;
    });
    sound("a pad that leans", sloped, plan_of(no_zone));
    sound("a pad that leans, its boundary with it", sloped, plan_of("x < -3.987 + 0.5 * height"));
    const auto dome = Part().rows(
        8.4, [](double x, double y, double z) { return x * x + y * y + (z - 1) * (z - 1) < 81; });
    sound("a dome over a firm core", dome, plan_of("hypot(x, y, height) < 5.013"));
    const auto rounded = Part().rows(5.28, [](double x, double y, double) {
        return std::hypot(std::max(0.0, std::abs(x) - 9), std::max(0.0, std::abs(y) - 4)) < 4;
    });
    sound("a pad with rounded corners and 2.64 mm of soft layers", rounded,
          plan_of("height < 2.6"));
    const auto thick = Part().wall(6, 2.0, [](double share, double across, double) {
        return std::array{-12 + 24 * share, across};
    });
    sound("a wall 2 mm thick", thick, plan_of(no_zone));
}

TEST_CASE("soft walls of 0.8 to 1.5 mm are all found", "[grade][thickness]") {
    const double wall = GENERATE(0.8, 1.0, 1.2, 1.4, 1.5);
    const auto is_found = [&](const char* name, const Part& part, const std::string& firm) {
        INFO(name << ", " << wall << " mm");
        CHECK(thin_zones(part, plan_of(firm)).find("zone `soft` is ") != std::string::npos);
    };
    is_found("plain",
             Part().wall(6, wall,
                         [](double share, double across, double) {
                             return std::array{-10 + 20 * share, across};
                         }),
             no_zone);
    is_found("askew",
             Part().wall(6, wall,
                         [](double share, double across, double) {
                             return std::array{(-10 + 20 * share) * 0.8 - across * 0.6,
                                               (-10 + 20 * share) * 0.6 + across * 0.8};
                         }),
             no_zone);
    is_found("curved",
             Part().wall(6, wall,
                         [&](double share, double across, double) {
                             const double turn = std::numbers::pi * (1.6 * share - 0.8);
                             return std::array{(7 + across) * std::cos(turn) - 7 - wall / 2,
                                               (7 + across) * std::sin(turn)};
                         }),
             no_zone);
    is_found(
        "a closed ring",
        Part().wall(
            6, wall,
            [](double share, double across, double) {
                const double turn = 2 * std::numbers::pi * share;
                return std::array{(7 + across) * std::cos(turn), (7 + across) * std::sin(turn)};
            }),
        no_zone);
    // Thickness is taken square to the wall, which leans by 25 degrees.
    constexpr double lean = 0.4663, square = 1.1034;
    is_found("sloped",
             Part().wall(7.2, wall * square,
                         [](double share, double across, double z) {
                             return std::array{-10 + 20 * share, across + lean * z};
                         }),
             no_zone);
    const auto box = Part().rows(6, [](double x, double y, double) { return is_box(x, y); });
    is_found("between boundaries", box, fmt::format("abs(x) > {}", wall / 2));
    is_found("a bent skin", box, fmt::format("hypot(x, y) < 6 or hypot(x, y) > {}", 6 + wall));
    is_found("a sloped sheet", box,
             fmt::format("abs(x - 0.4663 * height) > {}", wall / 2 * square));
    const double layers = std::floor(wall / height_mm + 1e-9);
    is_found("layers on top", box, fmt::format("height < {}", 6.01 - layers * height_mm));
}

}  // namespace durograde
