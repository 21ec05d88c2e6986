#include <fmt/format.h>

#include <algorithm>

#include "grade/emitter.hpp"
#include "grade/refusal.hpp"

/// Visits of the purge block: tools prime on it, and each of its layers is finished before the next
/// one of the print begins.
namespace durograde::grade {

using program::Span;

namespace {

constexpr double feed_mm_min = 1200.0;  // of its beads, where the tool's flow allows it
constexpr double same_mm = 1e-6;
constexpr double most_beads_high = 1.0;  // a layer higher than its beads are wide is printed in air

}  // namespace

/// The layer of the print changes: what is missing of the block's layer is laid, so that its next
/// one lies on something.
void Emitter::raise_block(const Span& span) {
    if (!block_ || span.strokes.empty()) return;
    if (span.in_order)
        throw refusal(figures_.input_name, "block-spiral",
                      "the plan primes on a [block], and height changes along beads",
                      "slice without a spiral, or prime at a \"spot\"");
    if (span.z_mm < block_->z_mm() - same_mm)
        throw refusal(figures_.input_name, "block-order",
                      "the plan primes on a [block], and parts are printed one after "
                      "another: the block would be in their way",
                      "print all parts layer by layer, or prime at a \"spot\"");
    if (block_->is_begun() && span.z_mm <= block_->z_mm() + same_mm) return;
    if (block_->is_begun()) lay_on_block(block_->left_mm());
    block_->begin_layer(span.z_mm);
    if (block_->height_mm() <= most_beads_high * block_->bead_mm()) return;
    throw refusal(figures_.input_name, "block-in-air",
                  fmt::format("the [block] would begin {:.2f} mm above what lies under it",
                              block_->height_mm()),
                  "grade from the first layer on, skirt and brim aside, or prime at a \"spot\"");
}

/// Lays `length_mm` of the block with the tool in use, and leaves it retracted.
void Emitter::lay_on_block(double length_mm) {
    if (length_mm <= same_mm) return;
    if (station_ < 0 || tool() == nullptr)
        throw refusal(figures_.input_name, "block-tool",
                      "no tool of the plan is in use where the [block] is to be laid",
                      "take the lines out that change tools by other commands");
    const double feed = travel_feed();
    if (!writer_.is_at(block_->next())) {
        leave(true);
        arrive(block_->next(), feed, hopped_);
    } else {
        restart();
    }
    print_on_block(length_mm);
}

/// Beads along the next stretches of the block, from where the nozzle stands.
void Emitter::print_on_block(double length_mm) {
    const double began_s = clock_.now_s();
    const double section_mm2 = block_->bead_mm() * block_->height_mm();
    const double e_per_mm = section_mm2 / area_mm2_ * stations_[station_].flow;
    writer_.line("; durograde: block begins");
    std::uint64_t lines = 2;
    for (const Polyline& row : block_->take(length_mm)) {
        if (!writer_.is_at(writer_.rounded(row.front()))) {
            clock_.move({row.front().x - writer_.position().x, row.front().y - writer_.position().y,
                         0.0, 0.0, distance_xy(writer_.position(), row.front()), feed_mm_min,
                         motion::Drive::travel});
            writer_.travel(writer_.rounded(row.front()), feed_mm_min);
            ++lines;
        }
        for (std::size_t i = 1; i < row.size(); ++i) {
            const Point from = writer_.position(), to = writer_.rounded(row[i]);
            const double mm = distance_xy(row[i - 1], row[i]);
            const double e_mm = mm * e_per_mm;
            if (writer_.is_at(to)) {
                writer_.owe(e_mm);
                tool_figures_->filament_mm += e_mm;
                continue;
            }
            const double feed = steady_feed(feed_mm_min, e_mm, mm);
            clock_.move({to.x - from.x, to.y - from.y, 0.0, e_mm, mm, feed, motion::Drive::print});
            tool_figures_->filament_mm += e_mm;
            writer_.bead(to, e_mm, feed);
            if (heights_) heights_->print(from, to);
            ++lines;
        }
    }
    writer_.line("; durograde: block ends");
    figures_.block_mm3 += length_mm * section_mm2 * stations_[station_].flow;
    const double seconds = clock_.now_s() - began_s;
    figures_.printing_s += seconds;
    tool_figures_->printing_s += seconds;
    figures_.block.printing_s += seconds;
    figures_.block.length_mm += length_mm;
    figures_.block.volume_mm3 += length_mm * section_mm2;
    count(figures_.edits.inserted, Reason::prime, lines);
    wipe_path_.clear();
    last_stroke_ = out_of_step;
    leave(true);
}

/// Primes on the block with the tool in use, which has just been taken.
void Emitter::prime_on_block(double e_mm, double feed) {
    const double section_mm2 = block_->bead_mm() * block_->height_mm();
    const double length_mm = e_mm * area_mm2_ / (section_mm2 * stations_[station_].flow);
    if (length_mm > block_->room_mm() + same_mm) {
        throw refusal(figures_.input_name, "block-full",
                      fmt::format("the layer of the [block] at z {:.2f} is full, and {:.0f} mm of "
                                  "bead are still to be primed on it",
                                  block_->z_mm(), length_mm),
                      "make block.size larger, or shorten the tools' `prime`");
    }
    arrive(block_->next(), feed, true);
    print_on_block(length_mm);
    figures_.block_mm3 -= e_mm * area_mm2_;
    figures_.prime_mm3 += tool()->prime->length_mm * area_mm2_;
    figures_.refill_mm3 += (e_mm - tool()->prime->length_mm) * area_mm2_;
}

}  // namespace durograde::grade
