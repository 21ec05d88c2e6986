#include "grade/block.hpp"

#include <algorithm>
#include <catch2/catch.hpp>

#include "plan/load.hpp"
#include "plans.hpp"
#include "sheet_case.hpp"

/// The purge block: outputs with one are accepted, and damaged blocks are not.
namespace durograde::check_tests {
namespace {

constexpr const char* begins = "; durograde: block begins";
constexpr const char* ends = "; durograde: block ends";

struct BlockCase {
    plan::Plan plan;
    std::string before, after;
    grade::Figures figures;
};

sheets::Style style_for(std::uint64_t seed) {
    sheets::Style style = sheets::style_from_seed(seed);
    style.spiral = style.one_by_one = style.line_numbers = style.crlf = style.modal = false;
    style.relative_moves = style.absolute_e = style.inches = style.volumetric = false;
    style.layers = std::min(style.layers, 4);
    return sheets::sane(style);
}

void replace_all(std::string& text, std::string_view what, std::string_view by) {
    for (std::size_t at = 0; (at = text.find(what, at)) != std::string::npos; at += by.size())
        text.replace(at, what.size(), by);
}

BlockCase block_case(std::uint64_t seed) {
    const sheets::Style style = style_for(seed);
    support::PlanShape shape = support::plan_shape_from_seed(seed);
    shape.primes = true;
    shape.tools = std::max(shape.tools, 2);
    std::string text = support::plan_text(style, shape);
    replace_all(text, "where = \"start\"",
                seed % 2 == 0 ? "where = \"block\"" : "where = \"block\", refill = true");
    replace_all(text, "hardness", "ooze = 6\nhardness");
    text += "\n[block]\nx = 310\ny = 310\nsize = [25, 30]\n";
    BlockCase c;
    c.plan = plan::load_text(text, "block.toml");
    c.before = sheets::make_sheet(style);
    c.after = support::graded(c.plan, c.before, c.figures);
    return c;
}

/// Where each visit of the block begins and ends, its two lines included.
std::vector<std::pair<std::size_t, std::size_t>> visits_of(const std::string& text) {
    std::vector<std::pair<std::size_t, std::size_t>> visits;
    for (std::size_t at = text.find(begins); at != std::string::npos;
         at = text.find(begins, at + 1))
        visits.emplace_back(at, text.find('\n', text.find(ends, at)) + 1);
    return visits;
}

/// Damages one visit of the block in many cases; each must be caught.
template <typename Damage>
void catches(const char* name, Damage damage) {
    int tried = 0;
    for (std::uint64_t seed = 0; tried < 15; ++seed) {
        REQUIRE(seed < 200);
        const BlockCase c = block_case(seed);
        const auto visits = visits_of(c.after);
        if (visits.size() < 2) continue;
        const auto [begin, end] = visits[seed % (visits.size() - 1)];
        std::string visit = c.after.substr(begin, end - begin);
        if (!damage(visit)) continue;
        ++tried;
        const std::string after = c.after.substr(0, begin) + visit + c.after.substr(end);
        const check::Verdict verdict = judge(c.plan, c.before, after);
        INFO("seed " << seed << "\n" << story(verdict) << "\n" << visit);
        CHECK_FALSE(finding(verdict, name).held);
    }
}

double length_of(const std::vector<grade::Polyline>& rows) {
    double length = 0.0;
    for (const grade::Polyline& row : rows) {
        for (std::size_t i = 1; i < row.size(); ++i) length += distance_xy(row[i - 1], row[i]);
    }
    return length;
}

}  // namespace

TEST_CASE("check: sheets that grow a purge block are accepted, and their waste adds up") {
    int with_block = 0;
    for (std::uint64_t seed = 0; seed < 60; ++seed) {
        const BlockCase c = block_case(seed);
        const check::Verdict verdict = judge(c.plan, c.before, c.after);
        INFO("seed " << seed << "\n" << story(verdict));
        CHECK(verdict.held());
        with_block += visits_of(c.after).size() > 1 ? 1 : 0;
        if (c.figures.swaps > 0) CHECK(c.figures.prime_mm3 > 0);
        CHECK(c.figures.block_mm3 >= -1e-6);
    }
    CHECK(with_block > 40);
}

TEST_CASE("check: a block without its declaration is caught") {
    catches("same beads", [](std::string& visit) {
        visit.erase(0, visit.find('\n') + 1);
        return true;
    });
}

TEST_CASE("check: a bead beside the block is caught") {
    catches("same beads", [](std::string& visit) {
        const std::size_t x = visit.find(" X3");
        if (x == std::string::npos) return false;
        visit.replace(x, 3, " X2");
        return true;
    });
}

TEST_CASE("check: a layer of the block that is left out is caught") {
    catches("same beads", [](std::string& visit) {
        // A tenth of a layer may be missing: it stands all the same.
        if (std::count(visit.begin(), visit.end(), '\n') < 16) return false;
        visit.clear();
        return true;
    });
}

TEST_CASE("check: a bead of the block with half its filament is caught") {
    catches("right amount", [](std::string& visit) {
        const std::size_t e = visit.find(" E");
        const double mm = std::stod(visit.substr(e + 2));
        if (!(mm > 0.05)) return false;
        visit.replace(e, visit.find_first_of(" \n", e + 1) - e, fmt::format(" E{:.5f}", mm * 0.5));
        return true;
    });
}

TEST_CASE(
    "check: a tool that goes on from the block bare, before any bead of the print, is caught") {
    int tried = 0;
    for (std::uint64_t seed = 0; tried < 15; ++seed) {
        REQUIRE(seed < 300);
        const BlockCase c = block_case(seed);
        const auto visits = visits_of(c.after);
        // Far from every part: any gap is smaller.
        if (visits.empty() || !c.plan.strings) continue;
        const std::size_t retract = visits[0].second;
        if (!c.after.substr(retract).starts_with("G1 E-")) continue;
        const std::size_t restart = c.after.find("\nG1 E", retract) + 1;
        std::string after = c.after;
        after.erase(restart, after.find('\n', restart) + 1 - restart);
        after.erase(retract, after.find('\n', retract) + 1 - retract);
        ++tried;
        const check::Verdict verdict = judge(c.plan, c.before, after);
        INFO("seed " << seed << "\n" << story(verdict) << "\n" << c.after.substr(retract, 300));
        CHECK_FALSE(finding(verdict, "protected").held);
    }
}

TEST_CASE("check: a layer of the block takes what fits on it, once") {
    const plan::Block plan{10, 20, 20, 30};
    grade::Block block(plan, 0.45);
    for (int layer = 1; layer <= 4; ++layer) {
        block.begin_layer(0.2 * layer);
        CHECK(block.height_mm() == Approx(0.2));
        const double whole_mm = block.left_mm(), room_mm = block.room_mm();
        // Frame, and lines four beads apart.
        CHECK(whole_mm == Approx(2 * (20 + 30 - 0.9) + 20.0 * 30.0 / 1.8).epsilon(0.1));
        CHECK(room_mm == Approx(20.0 * 30.0 / 0.45).epsilon(0.1));
        double taken_mm = 0.0;
        while (block.room_mm() > 1e-6) {
            const double next_mm = std::min(37.0, block.room_mm());
            const auto rows = block.take(next_mm);
            CHECK(length_of(rows) == Approx(next_mm));
            taken_mm += length_of(rows);
            for (const grade::Polyline& row : rows) {
                for (const program::Point& at : row) {
                    CHECK((at.x >= 10.2 && at.x <= 29.8 && at.y >= 20.2 && at.y <= 49.8));
                    CHECK(at.z == Approx(0.2 * layer));
                }
            }
            CHECK(block.left_mm() == Approx(std::max(0.0, whole_mm - taken_mm)).margin(1e-6));
        }
        CHECK(taken_mm == Approx(room_mm));
    }
}

TEST_CASE("check: a block in the way of beads, or in the air, is refused") {
    const auto code_of = [](const std::string& block, const std::string& first_z) {
        const std::string prime = "prime = { where = \"block\", length = 1 }\n";
        const std::string text = support::two_tools_text(
            prime, prime,
            support::halves_text + std::string("[sheet]\nplace = [{ x = 50, y = 50 }]\n") + block);
        const std::string sheet = "G21\nG90\nM83\nM104 S190\nG28\nM109 S190\nG1 Z" + first_z +
                                  " F720\nG1 X40 Y50 F9000\nG1 X60 Y50 E0.8 F600\n";
        try {
            support::graded(plan::load_text(text, "p.toml"), sheet);
        } catch (const Failure& failure) {
            return failure.diagnostics().front().code;
        }
        return std::string("accepted");
    };
    CHECK(code_of("[block]\nx = 100\ny = 100\nsize = [20, 20]\n", "0.2") == "accepted");
    CHECK(code_of("[block]\nx = 50\ny = 40\nsize = [20, 20]\n", "0.2") == "block-in-the-way");
    CHECK(code_of("[block]\nx = 62\ny = 40\nsize = [20, 20]\n", "0.2") == "block-in-the-way");
    CHECK(code_of("[block]\nx = 100\ny = 100\nsize = [20, 20]\n", "3.0") == "block-in-air");
}

}  // namespace durograde::check_tests
