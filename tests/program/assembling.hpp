#pragma once

#include <algorithm>
#include <string>
#include <utility>
#include <vector>

#include "program/assembler.hpp"
#include "text/program_input.hpp"

/// Programs as the spans that an assembler makes of them.
namespace durograde::program_test {

inline std::vector<program::Span> assembled(const std::string& text, program::Bounds bounds = {}) {
    ProgramInput input = ProgramInput::from_text(text, "pads.gcode");
    LineSource source = input.first_reading();
    program::Interpreter interpreter({}, "pads.gcode");
    program::Assembler assembler(source, interpreter, bounds);
    std::vector<program::Span> spans;
    program::Span span;
    while (assembler.next(span)) spans.push_back(span);
    return spans;
}

inline std::vector<long> layers_of(const std::vector<program::Span>& spans) {
    std::vector<long> layers;
    for (const program::Span& span : spans) layers.push_back(span.layer);
    return layers;
}

/// The lines of all spans, put together from raw lines, items and segments by their places.
inline std::string lines_of(const std::vector<program::Span>& spans) {
    std::string text;
    for (const program::Span& span : spans) {
        std::vector<std::pair<std::uint32_t, std::uint32_t>> lines;  // place and size
        for (const program::Item& item : span.items) {
            lines.emplace_back(item.text_at, item.text_size + item.ending_size);
        }
        for (const program::Segment& segment : span.segments) {
            lines.emplace_back(segment.text_at, segment.text_size + segment.ending_size);
        }
        std::sort(lines.begin(), lines.end());
        text += span.raw_text();
        for (const auto& [at, size] : lines) text += span.text.substr(at, size);
    }
    return text;
}

}  // namespace durograde::program_test
