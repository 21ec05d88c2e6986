#include "text/diagnostic.hpp"

#include <algorithm>
#include <utility>

namespace durograde {
namespace {

constexpr std::size_t shown_columns = 100;  // of a source line, so that a caret stays on one row

/// Bytes as a terminal may safely show them: control characters, those beyond ASCII (U+0080 to
/// U+009F) included, could move the cursor or worse.
std::string printable(std::string_view bytes) {
    std::string text;
    for (std::size_t i = 0; i < bytes.size(); ++i) {
        const auto value = static_cast<unsigned char>(bytes[i]);
        const unsigned next = i + 1 < bytes.size() ? static_cast<unsigned char>(bytes[i + 1]) : 0U;
        if (value == '\t') {
            text += ' ';
        } else if (value == 0xC2 && next >= 0x80 && next <= 0x9F) {
            text += '?';
            ++i;
        } else {
            text += value < 0x20 || value == 0x7f ? '?' : bytes[i];
        }
    }
    return text;
}

std::string excerpt_with_caret(const Diagnostic& diagnostic) {
    std::string_view line = diagnostic.source_line;
    std::size_t column = diagnostic.place.column;
    if (column > shown_columns * 3 / 4) {
        const std::size_t cut = std::min(line.size(), column - shown_columns / 2);
        line.remove_prefix(cut);
        column -= cut;
    }
    line = line.substr(0, shown_columns);
    std::string text = "    " + printable(line) + "\n";
    if (column > 0) text += "    " + std::string(std::min(column - 1, line.size()), ' ') + "^\n";
    return text;
}

std::string summary(const std::vector<Diagnostic>& diagnostics) {
    std::string text;
    for (const Diagnostic& diagnostic : diagnostics) text += format(diagnostic);
    return text;
}

std::size_t edit_distance(std::string_view a, std::string_view b) {
    std::vector<std::vector<std::size_t>> cost(a.size() + 1,
                                               std::vector<std::size_t>(b.size() + 1));
    for (std::size_t i = 0; i <= a.size(); ++i) cost[i][0] = i;
    for (std::size_t j = 0; j <= b.size(); ++j) cost[0][j] = j;
    for (std::size_t i = 1; i <= a.size(); ++i) {
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const std::size_t replace = cost[i - 1][j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1);
            cost[i][j] = std::min({replace, cost[i - 1][j] + 1, cost[i][j - 1] + 1});
            const bool swapped = i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1];
            if (swapped) cost[i][j] = std::min(cost[i][j], cost[i - 2][j - 2] + 1);
        }
    }
    return cost[a.size()][b.size()];
}

}  // namespace

std::string format(const Diagnostic& diagnostic) {
    std::string text;
    if (!diagnostic.place.file.empty()) {
        text += printable(diagnostic.place.file);
        if (diagnostic.place.line > 0) text += ':' + std::to_string(diagnostic.place.line);
        if (diagnostic.place.column > 0) text += ':' + std::to_string(diagnostic.place.column);
        text += ": ";
    }
    text += diagnostic.severity == Severity::error ? "error: " : "warning: ";
    text += printable(diagnostic.text) + " [" + diagnostic.code + "]\n";
    if (!diagnostic.source_line.empty()) text += excerpt_with_caret(diagnostic);
    if (!diagnostic.mend.empty()) text += "  fix: " + printable(diagnostic.mend) + "\n";
    return text;
}

Failure::Failure(Exit exit, Diagnostic diagnostic)
    : Failure(exit, std::vector<Diagnostic>{std::move(diagnostic)}) {}

Failure::Failure(Exit exit, std::vector<Diagnostic> diagnostics)
    : std::runtime_error(summary(diagnostics)), exit_(exit), diagnostics_(std::move(diagnostics)) {}

std::string_view nearest(std::string_view word, const std::vector<std::string_view>& known) {
    std::string_view best;
    std::size_t best_distance = word.size() + 1;
    for (std::string_view candidate : known) {
        if (word.size() > 2 * candidate.size() + 1) continue;
        const std::size_t slips =
            std::max<std::size_t>(1, std::min(word.size(), candidate.size()) / 3);
        const std::size_t distance = edit_distance(word, candidate);
        if (distance <= slips && distance < best_distance) {
            best = candidate;
            best_distance = distance;
        }
    }
    return best;
}

}  // namespace durograde
