#include "plan/findings.hpp"

#include <algorithm>
#include <tuple>
#include <utility>

namespace durograde::plan {
namespace {

// More than anybody mends in one go. Each may carry its source line, of up to a whole file.
constexpr std::size_t listed_limit = 100;

}  // namespace

bool Findings::has_room(Severity severity) {
    failed_ = failed_ || severity == Severity::error;
    // Warnings leave room for the errors that decide.
    const std::size_t limit = severity == Severity::error ? listed_limit : listed_limit / 2;
    if (found_.size() < limit) return true;
    ++not_listed_;
    return false;
}

bool Findings::lists_errors() const noexcept {
    return found_.size() < listed_limit;
}

void Findings::add(Severity severity, std::string_view code, const Spot& spot, Shown shown,
                   std::string text, std::string mend) {
    found_.push_back(
        {spot, Diagnostic{std::string(code), severity, std::move(text), std::move(mend),
                          std::move(shown.place), std::move(shown.source_line)}});
}

void Findings::error(std::string_view code, const Spot& spot, std::string text, std::string mend) {
    if (!has_room(Severity::error)) return;
    add(Severity::error, code, spot, sources_.show(spot), std::move(text), std::move(mend));
}

void Findings::warning(std::string_view code, const Spot& spot, std::string text,
                       std::string mend) {
    if (!has_room(Severity::warning)) return;
    add(Severity::warning, code, spot, sources_.show(spot), std::move(text), std::move(mend));
}

void Findings::error_inside(std::string_view code, const Spot& spot, std::string_view content,
                            std::size_t offset, std::string text, std::string mend) {
    if (!has_room(Severity::error)) return;
    add(Severity::error, code, spot, sources_.show_inside(spot, content, offset), std::move(text),
        std::move(mend));
}

std::vector<Diagnostic> Findings::take_sorted() {
    std::stable_sort(found_.begin(), found_.end(), [](const Found& a, const Found& b) {
        const auto order = [](const Found& found) {
            return std::tuple(found.spot.source, found.spot.line, found.spot.column);
        };
        return order(a) < order(b);
    });
    std::vector<Diagnostic> sorted;
    for (Found& found : found_) sorted.push_back(std::move(found.diagnostic));
    found_.clear();
    return sorted;
}

void Findings::stop_if_failed() {
    if (!failed_) return;
    std::vector<Diagnostic> all = take_sorted();
    if (not_listed_ > 0) {
        Diagnostic more;
        more.code = "more";
        more.text = std::to_string(not_listed_) + " further findings are not listed";
        more.mend = "mend the ones above first";
        more.place.file = all.back().place.file;
        all.push_back(std::move(more));
    }
    throw Failure(Exit::bad_plan, std::move(all));
}

std::vector<Diagnostic> Findings::take_warnings() {
    return take_sorted();
}

}  // namespace durograde::plan
