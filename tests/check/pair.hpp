#pragma once

#include <unistd.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cstdio>
#include <string>
#include <string_view>
#include <vector>

#include "check/check.hpp"
#include "plan/load.hpp"

/// Helpers that put a program and what was made of it before the checker.
namespace durograde::check_tests {

/// Text in a nameless file.
class TextFile {
  public:
    explicit TextFile(std::string_view text) : file_(std::tmpfile()) {
        REQUIRE(file_ != nullptr);
        REQUIRE(std::fwrite(text.data(), 1, text.size(), file_) == text.size());
        REQUIRE(std::fflush(file_) == 0);
    }
    TextFile(const TextFile&) = delete;
    TextFile& operator=(const TextFile&) = delete;
    ~TextFile() { std::fclose(file_); }
    [[nodiscard]] int fd() const { return ::fileno(file_); }

  private:
    std::FILE* file_;
};

inline check::Verdict judge(const plan::Plan& plan, std::string_view before,
                            std::string_view after) {
    const TextFile before_file(before), after_file(after);
    return check::check(plan, before_file.fd(), "before.gcode", after_file.fd(), "after.gcode");
}

/// Names of the invariants that do not hold.
inline std::vector<std::string> fallen(const check::Verdict& verdict) {
    std::vector<std::string> names;
    for (const check::Finding& finding : verdict.findings) {
        if (!finding.held) names.push_back(finding.name);
    }
    return names;
}

inline const check::Finding& finding(const check::Verdict& verdict, std::string_view name) {
    for (const check::Finding& found : verdict.findings) {
        if (found.name == name) return found;
    }
    FAIL("no such finding: " << name);
    return verdict.findings.front();
}

/// What fell and where, for messages.
inline std::string story(const check::Verdict& verdict) {
    std::string text;
    for (const check::Finding& found : verdict.findings) {
        for (const check::Spot& spot : found.first) {
            text += found.name + ", line " + std::to_string(spot.input_line) + " / " +
                    std::to_string(spot.output_line) + ": " + spot.text + "\n";
        }
    }
    return text;
}

/// `text` with the first `old_part` replaced. A test whose text is not found must not pass.
inline std::string with(std::string text, std::string_view old_part, std::string_view new_part) {
    const std::size_t at = text.find(old_part);
    if (at == std::string::npos) FAIL("not in the text: " << old_part);
    return text.replace(at, old_part.size(), new_part);
}

/// Number of the line in which `part` first stands, from 1.
inline std::uint64_t line_of(std::string_view text, std::string_view part) {
    const std::size_t at = text.find(part);
    if (at == std::string_view::npos) FAIL("not in the text: " << part);
    const auto end = text.begin() + static_cast<std::ptrdiff_t>(at);
    return static_cast<std::uint64_t>(std::count(text.begin(), end, '\n')) + 1;
}

inline std::string without(const std::string& text, std::string_view part) {
    return with(text, part, "");
}

}  // namespace durograde::check_tests
