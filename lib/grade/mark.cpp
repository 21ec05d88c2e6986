#include "grade/mark.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <variant>

#include "version.hpp"

namespace durograde::grade {
namespace {

constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";
constexpr std::string_view graded = "; graded by durograde ";
constexpr std::string_view by_plan = "; durograde: plan ";
constexpr std::string_view from_input = "; durograde: input ";
constexpr std::string_view complete = "; durograde: complete, ";

/// A plan's name on one short line: many controllers keep less than a hundred bytes of a line
/// (common practice, no source).
std::string short_name(std::string name) {
    constexpr std::size_t longest = 40;
    std::replace_if(
        name.begin(), name.end(), [](char c) { return c >= 0 && c < 0x20; }, ' ');
    if (name.size() <= longest) return name;
    std::size_t end = longest;
    const auto continues = [&](std::size_t at) {
        return (static_cast<unsigned char>(name[at]) & 0xC0U) ==
               0x80U;  // inside of a UTF-8 character
    };
    while (end > 0 && continues(end)) --end;
    return name.substr(0, end) + "...";
}

std::string foot_text(std::uint64_t lines, const std::string& digest) {
    return fmt::format("{}{} lines, {}", complete, lines, digest);
}

void take_field(std::string_view text, std::string_view label, std::string& value) {
    if (text.starts_with(label)) value = text.substr(label.size());
}

}  // namespace

bool is_marked(std::string_view text) {
    if (text.starts_with(byte_order_mark)) text.remove_prefix(byte_order_mark.size());
    return text.starts_with(graded);
}

std::string mark_head(const plan::Plan& plan, const std::string& input_digest,
                      const MarkStyle& style) {
    return fmt::format("{}{}{}, plan: {}{}{}{}{}{}{}{}",
                       style.has_byte_order_mark ? byte_order_mark : "", graded, version,
                       short_name(plan.name), style.line_end, by_plan, plan.fingerprint,
                       style.line_end, from_input, input_digest, style.line_end);
}

std::string mark_answers(const plan::Plan& plan, std::span<const plan::GradientStep> steps,
                         const MarkStyle& style) {
    std::string text;
    for (std::size_t i = 0; i < plan.zones.size(); ++i) {
        const plan::Zone& zone = plan.zones[i];
        if (!zone.hardness_shore_a) continue;
        text += fmt::format("; durograde: zone {} by T{} at {}{}", i + 1,
                            std::get<plan::ToolNumber>(zone.tool).number, plan.temperature_c(zone),
                            style.line_end);
    }
    for (const plan::GradientStep& step : steps) {
        text += fmt::format("; durograde: gradient from {} by T{} at {}{}", step.from_shore_a,
                            step.tool, step.temperature_c, style.line_end);
    }
    return text;
}

std::string mark_foot(std::uint64_t lines, const Digest& digest, const MarkStyle& style) {
    return foot_text(lines, digest.hex()) + std::string(style.line_end);
}

std::optional<Mark> read_mark(LineSource& source) {
    constexpr std::uint64_t head_lines = mark_lines - 1;
    Mark mark;
    Digest before;
    RawLine line;
    while (source.next(line)) {
        source.keep_from(line.offset);
        if (line.number == 1 && !is_marked(line.text)) return std::nullopt;
        if (line.number <= head_lines) {
            take_field(line.text, by_plan, mark.plan_digest);
            take_field(line.text, from_input, mark.input_digest);
        }
        mark.is_whole = line.text.starts_with(complete) &&
                        line.text == foot_text(line.number - 1, before.hex());
        before.add(source.bytes(line.offset, line.text.size() + line.ending.size()));
    }
    if (line.number == 0) return std::nullopt;
    return mark;
}

}  // namespace durograde::grade
