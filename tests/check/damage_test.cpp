#include "random.hpp"
#include "text/diagnostic.hpp"
#include "two_pads.hpp"

/// Whatever bytes come, a verdict or a refusal comes out, and never a good verdict on other beads.
namespace durograde::check_tests {
namespace {

std::string damaged(std::string text, sheets::Random& random) {
    const int times = random.between(1, 6);
    for (int i = 0; i < times && !text.empty(); ++i) {
        const std::size_t at = random.next() % text.size();
        switch (random.between(0, 4)) {
            case 0:
                text[at] = static_cast<char>(random.next() & 0xff);
                break;
            case 1:
                text.erase(at, random.next() % 40);
                break;
            case 2:
                text.insert(at, text.substr(random.next() % text.size(), random.next() % 60));
                break;
            case 3:
                text[at] = "0123456789.-GXYZEFTMSIJR \n"[random.next() % 26];
                break;
            default:
                text.resize(at);
                break;
        }
    }
    return text;
}

}  // namespace

TEST_CASE("check: damaged outputs are judged") {
    const plan::Plan plan = two_pads();
    int held = 0;
    for (std::uint64_t seed = 0; seed < 800; ++seed) {
        sheets::Random random(seed);
        const std::string after = damaged(good_after(), random);
        const check::Verdict verdict = judge(plan, two_pads_before, after);
        REQUIRE(verdict.findings.size() == 12);
        held += verdict.held() ? 1 : 0;
        for (const check::Finding& found : verdict.findings) {
            REQUIRE(std::isfinite(found.worst));
            REQUIRE(found.held == (found.failures == 0));
        }
    }
    // A few bytes in comments and in numbers' last zeros do no harm.
    CHECK(held < 300);
}

TEST_CASE("check: damaged inputs are judged or refused") {
    const plan::Plan plan = two_pads();
    int refused = 0, judged = 0;
    for (std::uint64_t seed = 0; seed < 500; ++seed) {
        sheets::Random random(seed);
        const std::string before = damaged(std::string(two_pads_before), random);
        try {
            judge(plan, before, two_pads_after);
            ++judged;
        } catch (const Failure& failure) {
            REQUIRE(failure.exit() == Exit::bad_input);
            ++refused;
        }
    }
    CHECK(refused > 50);
    CHECK(judged > 50);
}

TEST_CASE("check: empty and endless outputs fall") {
    CHECK(fallen(judge_after("")).front() == "same beads");
    CHECK(fallen(judge_after("\n\n\n")).front() == "same beads");
    const std::string endless(std::size_t{2} << 20, 'X');
    const auto names = fallen(judge_after(good_after() + endless));
    CHECK(std::find(names.begin(), names.end(), "in reach") != names.end());
}

}  // namespace durograde::check_tests
