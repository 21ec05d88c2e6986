#include "plan/sources.hpp"

#include <algorithm>
#include <utility>

namespace durograde::plan {
namespace {

bool continues_character(char byte) {
    return (static_cast<unsigned char>(byte) & 0xC0) == 0x80;
}

/// Length of what opens a TOML string at `at`: one quote, or three and a line break that is
/// skipped.
std::size_t opening_length(std::string_view text, std::size_t at) {
    const std::string_view rest = text.substr(at);
    if (!rest.starts_with(R"(""")") && !rest.starts_with("'''")) return 1;
    if (rest.substr(3).starts_with("\r\n")) return 5;
    return rest.substr(3).starts_with("\n") ? 4 : 3;
}

}  // namespace

void Sources::add(std::string name, std::string text, bool has_lines) {
    std::vector<std::size_t> starts = {0};
    for (std::size_t i = 0; i < text.size(); ++i)
        if (text[i] == '\n') starts.push_back(i + 1);
    sources_.push_back({std::move(name), std::move(text), has_lines, std::move(starts)});
}

std::uint32_t Sources::add_file(std::string name, std::string text) {
    add(std::move(name), std::move(text), true);
    return static_cast<std::uint32_t>(sources_.size() - 1);
}

std::uint32_t Sources::add_override(const std::string& key, std::string text) {
    add("--set " + key, std::move(text), false);
    return static_cast<std::uint32_t>(sources_.size() - 1);
}

std::string_view Sources::text(std::uint32_t source) const {
    return sources_[source].text;
}

std::size_t Sources::offset_of(const Spot& spot) const {
    const Source& source = sources_[spot.source];
    const std::size_t line = std::min<std::size_t>(spot.line, source.line_starts.size());
    std::size_t at = source.line_starts[line == 0 ? 0 : line - 1];
    for (std::uint32_t column = 1; column < spot.column && at < source.text.size(); ++column)
        for (++at; at < source.text.size() && continues_character(source.text[at]);) ++at;
    return at;
}

Shown Sources::show_offset(const Source& source, std::size_t offset) const {
    const auto next =
        std::upper_bound(source.line_starts.begin(), source.line_starts.end(), offset);
    const std::size_t start = *(next - 1);
    Shown shown;
    shown.place.file = source.name;
    if (source.has_lines)
        shown.place.line = static_cast<std::uint64_t>(next - source.line_starts.begin());
    shown.place.column = offset - start + 1;
    const std::size_t end = std::min(source.text.find('\n', start), source.text.size());
    shown.source_line = source.text.substr(start, end - start);
    if (shown.source_line.ends_with('\r')) shown.source_line.pop_back();
    return shown;
}

const std::string& Sources::file(const Spot& spot) const {
    const Source& source = sources_[spot.source];
    return source.has_lines ? source.name : first_file();
}

Shown Sources::show(const Spot& spot) const {
    const Source& source = sources_[spot.source];
    if (spot.line == 0) return {Place{source.name, 0, 0}, {}};
    return show_offset(source, offset_of(spot));
}

Shown Sources::show_inside(const Spot& spot, std::string_view content, std::size_t offset) const {
    const Source& source = sources_[spot.source];
    const std::size_t start = offset_of(spot);
    const std::size_t inner = start + opening_length(source.text, start);
    if (spot.line == 0 ||
        source.text.compare(std::min(inner, source.text.size()), content.size(), content) != 0)
        return show(spot);
    return show_offset(source, inner + offset);
}

std::string Sources::reference(const Spot& spot) const {
    const Shown shown = show(spot);
    const std::string line =
        shown.place.line > 0 ? ":" + std::to_string(shown.place.line) : std::string();
    return shown.place.file + line;
}

}  // namespace durograde::plan
