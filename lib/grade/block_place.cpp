#include "grade/block_place.hpp"

#include <fmt/format.h>

#include "grade/block.hpp"
#include "region/split.hpp"
#include "text/diagnostic.hpp"

namespace durograde::grade {
namespace {

Failure in_the_way(const std::string& input, const plan::Block& block, std::uint64_t line) {
    return {
        Exit::bad_input,
        Diagnostic{.code = "block-in-the-way",
                   .text = fmt::format("the [block] at x {:g}, y {:g} stands in the way of this "
                                       "bead, or within {:g} mm of it",
                                       block.x_mm, block.y_mm, Block::clearance_mm),
                   .mend = "move it, or make it smaller: durograde inspect lists where parts are",
                   .place = {input, static_cast<std::uint32_t>(line), 0}}};
}

}  // namespace

void check_block(const plan::Block& block, const program::Span& span, const std::string& input) {
    for (const program::Step& step : span.raw_steps) {
        if (step.kind == program::StepKind::bead && Block::is_near(block, step.from, step.to))
            throw in_the_way(input, block, 0);
    }
    for (const program::Stroke& stroke : span.strokes) {
        for (std::uint32_t i = stroke.first_segment; i < stroke.last_segment; ++i) {
            const int chords = span.segments[i].arc >= 0 ? 16 : 1;
            for (int c = 0; c < chords; ++c) {
                const auto from = region::segment_point(span, stroke, i, 1.0 * c / chords);
                const auto to = region::segment_point(span, stroke, i, (c + 1.0) / chords);
                if (Block::is_near(block, from, to)) throw in_the_way(input, block, stroke.line);
            }
        }
    }
}

}  // namespace durograde::grade
