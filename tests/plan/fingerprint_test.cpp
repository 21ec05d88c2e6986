#include <catch2/catch.hpp>

#include "plan/load.hpp"
#include "sample_plan.hpp"

namespace durograde {
namespace {

std::string print_of(const std::string& text, const std::vector<plan::Override>& overrides = {}) {
    return plan::load_text(text, "pads.toml", overrides).fingerprint;
}

std::string with(std::string text, const std::string& from, const std::string& to) {
    const std::size_t at = text.find(from);
    REQUIRE(at != std::string::npos);
    return text.replace(at, from.size(), to);
}

}  // namespace

TEST_CASE("layout and comments do not make another plan", "[plan]") {
    const std::string plan = plan_test::small_plan();
    CHECK(print_of(plan).size() == 32);
    CHECK(print_of("# pads\n\n" + plan + "\n\n# end\n") == print_of(plan));
    CHECK(print_of(with(plan, "format = 1", "format   =   1")) == print_of(plan));
}

TEST_CASE("each value makes another plan", "[plan]") {
    const std::string plan = plan_test::small_plan();
    const std::string print = print_of(plan);
    CHECK(print_of(plan, {{"machine.hottest", "299.5"}}) != print);
    CHECK(print_of(plan, {{"name", "\"other pads\""}}) != print);
    // A value that is said anew is the same plan.
    const std::string named = print_of(plan, {{"name", "\"other pads\""}});
    CHECK(print_of(plan, {{"name", "'other pads'"}}) == named);
}

}  // namespace durograde
