#include "check/balance_watch.hpp"
#include "grading.hpp"
#include "pair.hpp"
#include "plans.hpp"
#include "random.hpp"
#include "sheet.hpp"

/// The proof's own sum of all filament: right outputs agree to rounding, a changed number of E is
/// found, and so is a drift that is within its rounding in every line.
namespace durograde::check_tests {
namespace {

struct Case {
    plan::Plan plan;
    std::string before, after;
};

/// Increments of E, as most sheets have them: there each number stands for itself.
std::vector<Case> cases() {
    std::vector<Case> made;
    for (std::uint64_t seed = 0; made.size() < 4; ++seed) {
        const sheets::Style style = sheets::sane(sheets::style_from_seed(seed));
        const std::string before = sheets::make_sheet(style);
        const bool fits = before.find("M83") != std::string::npos && before[0] != 'N' &&
                          before.find("\nN1 ") == std::string::npos &&
                          before.find("G20") == std::string::npos &&
                          before.find("M200") == std::string::npos;
        if (!fits) continue;
        support::PlanShape shape = support::plan_shape_from_seed(seed);
        shape.tools = 3;
        shape.material = true;
        plan::Plan plan = support::plan_for(style, shape);
        std::string after = support::graded(plan, before);
        made.push_back({std::move(plan), before, std::move(after)});
    }
    return made;
}

/// Where the numbers of E of beads stand in the output: begin and end.
std::vector<std::pair<std::size_t, std::size_t>> numbers_of(const std::string& text) {
    std::vector<std::pair<std::size_t, std::size_t>> found;
    for (std::size_t at = text.find(" E"); at != std::string::npos; at = text.find(" E", at + 1)) {
        const std::size_t line = text.rfind('\n', at) + 1;
        const std::size_t end = text.find_first_of(" \n\r*", at + 2);
        if (text.compare(line, 3, "G1 ") != 0 || text[at + 2] == '-') continue;
        if (text.find(" X", line) < at) found.emplace_back(at + 2, end);
    }
    return found;
}

std::string with_more(std::string text, std::pair<std::size_t, std::size_t> place, double mm) {
    const double was = std::stod(text.substr(place.first, place.second - place.first));
    char number[32];
    std::snprintf(number, sizeof number, "%.6f", was + mm);
    return text.replace(place.first, place.second - place.first, number);
}

}  // namespace

TEST_CASE("check: each of 100 changed numbers of E is found", "[balance]") {
    for (const Case& c : cases()) {
        REQUIRE(fallen(judge(c.plan, c.before, c.after)).empty());
        const auto numbers = numbers_of(c.after);
        REQUIRE(numbers.size() > 100);
        sheets::Random random(numbers.size());
        for (int i = 0; i < 25; ++i) {
            const auto at = numbers[random.next() % numbers.size()];
            const double mm = random.chance(50) ? 0.003 : -0.003;
            CHECK_FALSE(judge(c.plan, c.before, with_more(c.after, at, mm)).held());
        }
    }
}

TEST_CASE("check: a drift within each line's rounding is found by the sum", "[balance]") {
    const auto holds = [](double drift_units) {
        check::Ledger ledger;
        check::BalanceWatch watch(ledger);
        const check::Precision precision;
        sheets::Random random(5);
        for (int i = 0; i < 10'000; ++i) {
            const double units = static_cast<double>(random.between(-500, 500)) * 1e-3;
            watch.bead(1.0 + (units + drift_units) * precision.e_mm, 1.0, 0.033, precision);
        }
        watch.finish(precision, 1);
        return ledger.holds(check::Invariant::balanced);
    };
    CHECK(holds(0.0));
    CHECK_FALSE(holds(0.4));
    CHECK_FALSE(holds(-0.4));
}

}  // namespace durograde::check_tests
