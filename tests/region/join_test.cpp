#include <rapidcheck.h>

#include <catch2/catch.hpp>
#include <numeric>
#include <ostream>

#include "random.hpp"
#include "region/split.hpp"

/// Runs too short to stand alone.
namespace durograde {
namespace {

using region::Run;

struct Part {
    int zone = 0;
    double length = 0;
    friend bool operator==(const Part& a, const Part& b) {
        return a.zone == b.zone && std::abs(a.length - b.length) < 1e-9;
    }
};
std::ostream& operator<<(std::ostream& out, const Part& part) {
    return out << part.zone << ": " << part.length;
}
using Parts = std::vector<Part>;

std::vector<Run> runs_of(const Parts& parts) {
    const double whole =
        std::accumulate(parts.begin(), parts.end(), 0.0,
                        [](double sum, const Part& part) { return sum + part.length; });
    std::vector<Run> runs;
    double at = 0;
    for (const Part& part : parts) {
        Run run;
        run.zone = part.zone;
        run.length_mm = part.length;
        run.begin.fraction = at / whole;
        at += part.length;
        run.end.fraction = at / whole;
        runs.push_back(run);
    }
    runs.back().end.fraction = 1;
    return runs;
}

Parts joined(const Parts& parts, double shortest, bool closed = false) {
    std::vector<Run> runs = runs_of(parts);
    join_short_runs(runs, shortest, closed);
    Parts result;
    for (const Run& run : runs) result.push_back({run.zone, run.length_mm});
    return result;
}

}  // namespace

TEST_CASE("a short run joins its longer neighbour", "[region]") {
    CHECK(joined({{0, 5}, {1, 0.5}, {2, 3}}, 0.8) == Parts{{0, 5.5}, {2, 3}});
    CHECK(joined({{0, 3}, {1, 0.5}, {2, 5}}, 0.8) == Parts{{0, 3}, {2, 5.5}});
    CHECK(joined({{0, 0.5}, {1, 2}}, 0.8) == Parts{{1, 2.5}});
    CHECK(joined({{0, 2}, {1, 0.5}}, 0.8) == Parts{{0, 2.5}});
    CHECK(joined({{0, 2}, {1, 0.5}, {0, 2}}, 0.8) == Parts{{0, 4.5}});
    CHECK(joined({{0, 2}, {1, 0.8}, {0, 2}}, 0.8).size() == 3);  // long enough
    CHECK(joined({{0, 0.1}}, 0.8) == Parts{{0, 0.1}});           // alone
    CHECK(joined({{0, 0.1}, {1, 0.2}}, 0.8) == Parts{{1, 0.3}});
    CHECK(joined({{0, 1}, {0, 1}, {1, 1}}, 0) == Parts{{0, 2}, {1, 1}});  // of one kind
}

TEST_CASE("the shortest joins first, and what it makes is looked at again", "[region]") {
    CHECK(joined({{0, 5}, {1, 0.6}, {2, 0.3}, {3, 5}}, 0.8) == Parts{{0, 5}, {3, 5.9}});
    CHECK(joined({{0, 0.7}, {1, 0.3}, {2, 0.6}, {3, 0.3}, {0, 0.7}}, 0.8).size() <= 2);
}

TEST_CASE("at the seam of a closed stroke first and last run of a zone are one", "[region]") {
    const Parts parts = {{0, 0.3}, {1, 5}, {2, 5}, {0, 0.6}};
    CHECK(joined(parts, 0.8, true) == parts);
    CHECK(joined(parts, 0.8, false) == Parts{{1, 5.3}, {2, 5.6}});
    const Parts both = joined({{0, 0.3}, {1, 5}, {2, 6}, {0, 0.4}}, 0.8, true);
    CHECK(both.size() >= 2);
    for (const Part& part : both) CHECK(part.zone != 0);
}

TEST_CASE("no run shorter than allowed is left unless it is alone", "[region]") {
    REQUIRE(rc::check("open and closed", [](std::uint64_t seed) {
        sheets::Random random(seed);
        Parts parts;
        const int count = random.between(1, 20);
        for (int i = 0; i < count; ++i) {
            parts.push_back(
                {random.between(0, 3), random.between(1, random.chance(60) ? 100 : 500) * 0.01});
        }
        const bool closed = random.chance(50);
        std::vector<Run> runs = runs_of(parts);
        join_short_runs(runs, 0.8, closed);
        RC_ASSERT(runs.front().begin.fraction == 0);
        RC_ASSERT(runs.back().end.fraction == 1);
        const bool seam = closed && runs.size() > 1 && runs.front().zone == runs.back().zone;
        double before = 0, after = 0;
        for (const Part& part : parts) before += part.length;
        for (std::size_t i = 0; i < runs.size(); ++i) {
            after += runs[i].length_mm;
            if (i > 0) RC_ASSERT(runs[i].zone != runs[i - 1].zone);
            if (i > 0) RC_ASSERT(runs[i].begin.fraction == runs[i - 1].end.fraction);
            const bool at_seam = seam && (i == 0 || i + 1 == runs.size());
            const double length =
                at_seam ? runs.front().length_mm + runs.back().length_mm : runs[i].length_mm;
            RC_ASSERT((runs.size() == 1 || length >= 0.8));
        }
        RC_ASSERT(std::abs(before - after) < 1e-9);
    }));
}

TEST_CASE("runs that are long enough stay as they are", "[region]") {
    REQUIRE(rc::check("nothing to join", [](std::uint64_t seed) {
        sheets::Random random(seed);
        Parts parts;
        const int count = random.between(1, 12);
        for (int i = 0; i < count; ++i) {
            const int last = parts.empty() ? 9 : parts.back().zone;
            parts.push_back({(last + random.between(1, 3)) % 4, random.between(80, 500) * 0.01});
        }
        RC_ASSERT(joined(parts, 0.8, random.chance(50)) == parts);
    }));
}

TEST_CASE("both ends of a closed stroke are neighbours", "[region]") {
    CHECK(joined({{0, 0.3}, {1, 1}, {2, 20}}, 0.8, true) == Parts{{2, 0.3}, {1, 1}, {2, 20}});
    CHECK(joined({{2, 20}, {1, 1}, {0, 0.3}}, 0.8, true) == Parts{{2, 20}, {1, 1}, {2, 0.3}});
}

}  // namespace durograde
