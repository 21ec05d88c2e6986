#include "grade/mark.hpp"

#include <catch2/catch.hpp>

#include "grading.hpp"
#include "plans.hpp"
#include "sheet.hpp"
#include "text/program_input.hpp"

/// A graded program tells by which plan and from what it was made, and whether all of it is there.
namespace durograde::grade {
namespace {

std::optional<Mark> mark_of(std::string_view text) {
    ProgramInput input = ProgramInput::from_text(text, "graded.gcode");
    LineSource source = input.first_reading();
    return read_mark(source);
}

struct Sample {
    plan::Plan plan;
    std::string before, after;
};
Sample sample(bool crlf = false) {
    sheets::Style style = sheets::style_from_seed(3);
    style.parts = 1;
    style.layers = 2;
    style.crlf = crlf;
    Sample made{support::plan_for(style, support::plan_shape_from_seed(3)),
                sheets::make_sheet(style), ""};
    made.after = support::graded(made.plan, made.before);
    return made;
}

}  // namespace

TEST_CASE("a graded program names its plan and its input", "[grade]") {
    for (const bool crlf : {false, true}) {
        const Sample made = sample(crlf);
        const std::optional<Mark> mark = mark_of(made.after);
        REQUIRE(mark);
        CHECK(mark->is_whole);
        CHECK(mark->plan_digest == made.plan.fingerprint);
        Digest input;
        input.add(made.before);
        CHECK(mark->input_digest == input.hex());
    }
}

TEST_CASE("a graded program that is cut anywhere is not whole", "[grade]") {
    const Sample made = sample();
    for (std::size_t size = made.after.size() - 2; size > 30;
         size -= std::min<std::size_t>(size, 97)) {
        const std::optional<Mark> mark = mark_of(std::string_view(made.after).substr(0, size));
        CHECK_FALSE((mark && mark->is_whole));
    }
}

TEST_CASE("a graded program with a changed, lost or added byte is not whole", "[grade]") {
    const Sample made = sample();
    for (std::size_t at = 0; at < made.after.size(); at += 211) {
        std::string changed = made.after, lost = made.after, added = made.after;
        changed[at] = changed[at] == '7' ? '8' : '7';
        lost.erase(at, 1);
        added.insert(at, 1, ' ');
        for (const std::string& text : {changed, lost, added}) {
            const std::optional<Mark> mark = mark_of(text);
            CHECK_FALSE((mark && mark->is_whole));
        }
    }
    CHECK_FALSE(mark_of(made.after + "G1 X1\n")->is_whole);
}

TEST_CASE("a sliced program has no mark", "[grade]") {
    CHECK_FALSE(mark_of(sample().before));
    CHECK_FALSE(mark_of(""));
    CHECK_FALSE(is_marked("; graded by hand"));
    CHECK(is_marked("\xEF\xBB\xBF; graded by durograde 9.9.9, plan: x"));
}

TEST_CASE("a long plan name does not make a long line", "[grade]") {
    plan::Plan plan;
    plan.name = std::string(38, 'a') + "\xC3\xA4\xC3\xA4" + std::string(200, 'b');
    const std::string head = mark_head(plan, "", {"\n", false});
    const std::string first = head.substr(0, head.find('\n'));
    CHECK(first.size() < 96);
    CHECK(first.ends_with("a\xC3\xA4..."));  // never half a character
}

}  // namespace durograde::grade
