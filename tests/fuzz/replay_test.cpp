#include <algorithm>
#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#include "targets.hpp"

/// What the fuzzers found before, and what they start from, is thrown at the same functions here.
namespace durograde::fuzz {
namespace {

using Target = void (*)(std::string_view);
namespace fs = std::filesystem;

std::vector<fs::path> files_in(const fs::path& folder) {
    std::vector<fs::path> files;
    for (const fs::directory_entry& entry : fs::directory_iterator(folder))
        files.push_back(entry.path());
    std::sort(files.begin(), files.end());
    return files;
}

std::string text_of(const fs::path& file) {
    std::ifstream stream(file, std::ios::binary);
    std::ostringstream text;
    text << stream.rdbuf();
    return text.str();
}

void replay(Target target, const fs::path& folder) {
    const std::vector<fs::path> files = files_in(folder);
    CHECK(!files.empty());
    for (const fs::path& file : files) {
        INFO(file.string());
        CHECK_NOTHROW(target(text_of(file)));
    }
}

}  // namespace

TEST_CASE("fuzz: what was found before holds") {
    const fs::path found = fs::path(DUROGRADE_CORPUS) / "found";
    replay(try_condition, found / "condition");
    replay(try_plan, found / "plan");
    replay(try_chain, found / "chain");
}

TEST_CASE("fuzz: what the fuzzers start from holds") {
    const fs::path seeds = DUROGRADE_FUZZ_SEEDS;
    replay(try_lines, seeds / "line");
    replay(try_condition, seeds / "condition");
    replay(try_chain, seeds / "chain");
}

TEST_CASE("fuzz: a promise that does not hold is told") {
    // The chain's second half of a proof: an output that is none must not pass.
    CHECK_THROWS_AS(promise(false, "told"), Broken);
    CHECK_NOTHROW(promise(true, "not told"));
}

}  // namespace durograde::fuzz
