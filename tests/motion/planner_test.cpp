#include "motion/planner.hpp"

#include <rapidcheck.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <vector>

#include "random.hpp"

/// The planner against the whole path at once, walked in fine steps: as fast as each step's own
/// limit, as can be reached from the step before, and as can be slowed down from in the step after.
namespace durograde {
namespace {

using motion::Planner;
using motion::Stretch;

double seconds(const std::vector<Stretch>& path) {
    Planner planner;
    for (const Stretch& stretch : path) planner.add(stretch);
    return planner.total_s();
}

double seconds_in_fine_steps(const std::vector<Stretch>& path, int steps_each) {
    std::vector<double> most_squared, step, acceleration;  // most: at the begin of each step
    for (const Stretch& stretch : path) {
        for (int i = 0; i < steps_each; ++i) {
            const double limit = stretch.speed * stretch.speed;
            most_squared.push_back(i == 0 ? std::min(limit, stretch.most_entry_squared) : limit);
            step.push_back(stretch.length / steps_each);
            acceleration.push_back(stretch.acceleration);
        }
    }
    most_squared.front() = 0.0;
    most_squared.push_back(0.0);
    const std::size_t count = step.size();
    for (std::size_t i = 0; i < count; ++i) {
        most_squared[i + 1] =
            std::min(most_squared[i + 1], most_squared[i] + 2 * acceleration[i] * step[i]);
    }
    for (std::size_t i = count; i-- > 0;) {
        most_squared[i] =
            std::min(most_squared[i], most_squared[i + 1] + 2 * acceleration[i] * step[i]);
    }
    double time = 0.0;
    for (std::size_t i = 0; i < count; ++i) {
        time += 2 * step[i] / (std::sqrt(most_squared[i]) + std::sqrt(most_squared[i + 1]));
    }
    return time;
}

/// Stretches whose corners allow anything from a stop to full speed. Long enough for the planner's
/// row to hold any way to stop.
std::vector<Stretch> random_path(sheets::Random& random) {
    std::vector<Stretch> path;
    const int count = random.between(1, 60);
    double speed_before = 0.0;
    for (int i = 0; i < count; ++i) {
        Stretch stretch;
        stretch.length = random.between(2, 400) * 0.05;
        stretch.speed = random.between(5, 200);
        stretch.acceleration = random.between(200, 6000);
        const double cap = std::min(stretch.speed, speed_before);
        const double corner = random.chance(30) ? cap : cap * random.between(0, 100) * 0.01;
        stretch.most_entry_squared = corner * corner;
        speed_before = stretch.speed;
        path.push_back(stretch);
    }
    return path;
}

}  // namespace

TEST_CASE("planned as the whole path in fine steps", "[motion]") {
    REQUIRE(rc::check("fine steps", [](std::uint64_t seed) {
        sheets::Random random(seed);
        const std::vector<Stretch> path = random_path(random);
        constexpr int steps = 400;
        const double planned = seconds(path), stepped = seconds_in_fine_steps(path, steps);
        // A step within which the speed peaks is taken too slowly: one such step a stretch, in
        // which no more speed is lost than one step's acceleration gives.
        double slack = 1e-9;
        for (const Stretch& stretch : path) {
            slack += 2 * std::sqrt(stretch.length / steps / stretch.acceleration);
        }
        RC_ASSERT(planned <= stepped * (1 + 1e-9));
        RC_ASSERT(planned >= stepped - slack);
    }));
}

TEST_CASE("a straight stretch takes as long in pieces as whole", "[motion]") {
    REQUIRE(rc::check("pieces", [](std::uint64_t seed) {
        sheets::Random random(seed);
        std::vector<Stretch> whole = random_path(random), pieces;
        for (const Stretch& stretch : whole) {
            const int count = random.between(1, 4);
            for (int i = 0; i < count; ++i) {
                Stretch piece = stretch;
                piece.length = stretch.length / count;
                if (i > 0) piece.most_entry_squared = stretch.speed * stretch.speed;
                pieces.push_back(piece);
            }
        }
        // 16 stretches in four pieces each fill the row.
        whole.resize(std::min<std::size_t>(whole.size(), 16));
        Planner in_pieces;
        std::size_t at = 0;
        double length = 0.0, wanted = 0.0;
        for (const Stretch& stretch : whole) {
            wanted += stretch.length;
            for (; at < pieces.size() && length < wanted - 1e-9; ++at) {
                in_pieces.add(pieces[at]);
                length += pieces[at].length;
            }
        }
        RC_ASSERT(std::abs(in_pieces.total_s() - seconds(whole)) < 1e-9 * in_pieces.total_s());
    }));
}

TEST_CASE("what is settled does not change any more", "[motion]") {
    REQUIRE(rc::check("settled", [](std::uint64_t seed) {
        sheets::Random random(seed);
        const std::vector<Stretch> path = random_path(random);
        Planner planner;
        double before = 0.0;
        for (const Stretch& stretch : path) {
            planner.add(stretch);
            RC_ASSERT(planner.settled_s() >= before);
            RC_ASSERT(planner.settled_s() <= planner.total_s());
            before = planner.settled_s();
        }
        planner.stop();
        RC_ASSERT(planner.settled_s() == planner.total_s());
        RC_ASSERT(std::abs(planner.total_s() - seconds(path)) < 1e-9 * planner.total_s() + 1e-12);
        RC_ASSERT_FALSE(planner.is_moving());
    }));
}

TEST_CASE("many short stretches are not stopped at each end", "[motion]") {
    // A circle of 0.1 mm chords at 100 mm/s and 1000 mm/s²: 5 mm to speed up, 5 mm to slow down.
    std::vector<Stretch> path;
    for (int i = 0; i < 2000; ++i) path.push_back({0.1, 100, 1000, i == 0 ? 0.0 : 100.0 * 100.0});
    // The row of 64 chords is longer than the 5 mm that stopping takes.
    CHECK(seconds(path) == Approx(200.0 / 100 + 100.0 / 1000).epsilon(1e-9));
    for (Stretch& stretch : path) stretch.acceleration = 100;
    // Stopping takes 50 mm, the row tells of 6.3 to 6.4 mm: that gives the speed that is dared.
    const double dared = std::sqrt(2 * 100 * 6.4), surely = std::sqrt(2 * 100 * 6.3);
    CHECK(seconds(path) >= 200 / dared);
    CHECK(seconds(path) <= 200 / surely + surely / 100);
}

}  // namespace durograde
