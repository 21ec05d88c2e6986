#include "prove.hpp"

#include <unistd.h>

#include "report/verdict.hpp"
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

Diagnostic objection(const check::Finding& finding, const check::Spot& spot,
                     const std::string& before_name, int before_fd, int after_fd) {
    std::string text = "check failed: " + finding.name + ": " + spot.text;
    if (finding.worst > 0) text += ": " + report::measure(finding);
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

/// The first place, and the first in the input where that one is in the output alone.
std::vector<check::Spot> places_to_show(const check::Finding& finding) {
    if (finding.first.empty()) return {check::Spot{}};
    std::vector<check::Spot> places = {finding.first.front()};
    if (places.front().input_line > 0) return places;
    for (const check::Spot& spot : finding.first) {
        if (spot.input_line == 0) continue;
        places.push_back(spot);
        break;
    }
    return places;
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
        for (const check::Spot& spot : places_to_show(finding)) {
            objections.push_back(objection(finding, spot, before.name(), before_fd, after_fd));
        }
    }
    throw Failure(Exit::check_failed, std::move(objections));
}

}  // namespace durograde::cli
