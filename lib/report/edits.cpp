#include "report/edits.hpp"

#include <fmt/format.h>

#include <array>
#include <iterator>
#include <string_view>

#include "report/words.hpp"

namespace durograde::report {
namespace {

using Out = std::back_insert_iterator<std::string>;

/// The reasons as people read them, in the order of their names.
constexpr std::array<std::string_view, grade::reason_count> reason_words = {"flow",
                                                                            "E count",
                                                                            "cut",
                                                                            "feed",
                                                                            "fan",
                                                                            "coordinates",
                                                                            "travel",
                                                                            "retract and hop",
                                                                            "swap",
                                                                            "heat",
                                                                            "settings",
                                                                            "priming",
                                                                            "number modes",
                                                                            "progress",
                                                                            "lines on the grading"};

void edit_row(std::string_view verb, const std::array<std::uint64_t, grade::reason_count>& list,
              Out out) {
    constexpr std::size_t widest = 100, indent = 27;
    std::uint64_t sum = 0;
    for (const std::uint64_t count : list) sum += count;
    std::string row = fmt::format("  {:<10}{:>12}   ", verb, grouped(sum));
    bool first = true;
    for (std::size_t i = 0; i < list.size(); ++i) {
        if (list[i] == 0) continue;
        const std::string entry = fmt::format("{} {}", reason_words[i], grouped(list[i]));
        const std::size_t begin = row.rfind('\n') == std::string::npos ? 0 : row.rfind('\n') + 1;
        if (!first) row += ',';
        if (!first && row.size() - begin + entry.size() + 2 > widest)
            row += '\n' + std::string(indent, ' ');
        else if (!first)
            row += ' ';
        row += entry;
        first = false;
    }
    fmt::format_to(out, "{}\n", row);
}

}  // namespace

std::string edits(const grade::Figures& f) {
    std::string text;
    const Out out = std::back_inserter(text);
    fmt::format_to(out, "\nWhat changes, in lines ({} in, {} out)\n", grouped(f.input_lines),
                   grouped(f.output_lines));
    fmt::format_to(out, "  {:<10}{:>12}\n", "copied", grouped(f.edits.copied));
    if (f.nothing_asked) return text;
    edit_row("rewritten", f.edits.rewritten, out);
    edit_row("inserted", f.edits.inserted, out);
    edit_row("removed", f.edits.removed, out);
    return text;
}

}  // namespace durograde::report
