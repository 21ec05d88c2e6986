#include "prove.hpp"

#include <unistd.h>

#include "text/diagnostic.hpp"
#include "text/line_source.hpp"

namespace durograde::cli {
namespace {

/// The line with this number, or nothing where there is none.
std::string line_of(int fd, std::uint64_t number) {
    if (number == 0) return "";
    ::lseek(fd, 0, SEEK_SET);
    LineSource source(fd, "");
    RawLine line;
    while (source.next(line)) {
        source.keep_from(line.offset);
        if (line.number == number) return std::string(line.text);
    }
    return "";
}

Diagnostic objection(const check::Finding& finding, const std::string& before_name, int before_fd,
                     int after_fd) {
    const check::Spot spot = finding.first.empty() ? check::Spot{} : finding.first.front();
    std::string text = "the invariant \"" + finding.name + "\" fell: " + spot.text;
    if (spot.output_line > 0) {
        text += "; line " + std::to_string(spot.output_line) + " of the output was to be `" +
                line_of(after_fd, spot.output_line) + "`";
    }
    return {.code = "check-failed",
            .text = std::move(text),
            .mend =
                "nothing was released; this is a fault of durograde: keep program and plan and "
                "report it",
            .place = {before_name, spot.input_line, 0},
            .source_line = line_of(before_fd, spot.input_line)};
}

}  // namespace

check::Verdict prove(const plan::Plan& plan, ProgramInput& before, int after_fd,
                     const std::string& after_name) {
    const int before_fd = before.rewindable();
    check::Verdict verdict = check::check(plan, before_fd, before.name(), after_fd, after_name);
    before.check_unchanged();
    if (verdict.held()) return verdict;
    std::vector<Diagnostic> objections;
    for (const check::Finding& finding : verdict.findings) {
        if (finding.held) continue;
        objections.push_back(objection(finding, before.name(), before_fd, after_fd));
    }
    throw Failure(Exit::check_failed, std::move(objections));
}

}  // namespace durograde::cli
