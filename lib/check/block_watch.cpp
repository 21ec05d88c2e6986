#include "check/block_watch.hpp"

#include <algorithm>
#include <cmath>

namespace durograde::check {
namespace {

constexpr double same_mm = 1e-4;
// Frame and a quarter of the area make a layer that stands (common practice, no source); a tenth
// less passes for one.
constexpr double beads_apart = 4.0, enough = 0.9;
constexpr double thinnest = 0.6, thickest = 1.6;  // of the beads' width: those that hold together

}  // namespace

BlockWatch::BlockWatch(const plan::Plan& plan, double bead_mm, Ledger& ledger)
    : plan_(plan), bead_mm_(bead_mm), ledger_(ledger) {
    if (plan.material) curve_ = std::make_unique<Card>(plan.material->points);
}

void BlockWatch::fail(Measure by, Lines lines, const char* text) const {
    ledger_.fail(Invariant::same_beads, by, lines, text);
}

void BlockWatch::begins(std::uint64_t output_line) {
    if (!plan_.block) fail({}, {0, output_line}, "a purge block, and the plan has none");
    if (open_) fail({}, {0, output_line}, "a visit of the block within another");
    open_ = plan_.block.has_value();
}

void BlockWatch::ends(std::uint64_t output_line) {
    if (!open_) fail({}, {0, output_line}, "the end of a visit of the block that has not begun");
    open_ = false;
}

bool BlockWatch::is_within(const Point& point, double slack_mm) const {
    const plan::Block& block = *plan_.block;
    return point.x >= block.x_mm - slack_mm && point.x <= block.x_mm + block.width_mm + slack_mm &&
           point.y >= block.y_mm - slack_mm && point.y <= block.y_mm + block.depth_mm + slack_mm;
}

/// Whether the layer reaches the sides of the block, and has lines enough to carry the next.
bool BlockWatch::is_whole() const {
    if (!begun_) return false;
    const plan::Block& block = *plan_.block;
    const bool reaches = low_.x <= block.x_mm + bead_mm_ && low_.y <= block.y_mm + bead_mm_ &&
                         high_.x >= block.x_mm + block.width_mm - bead_mm_ &&
                         high_.y >= block.y_mm + block.depth_mm - bead_mm_;
    const double inner_mm2 = (block.width_mm - 4 * bead_mm_) * (block.depth_mm - 4 * bead_mm_);
    const double frame_mm = 2 * (block.width_mm + block.depth_mm - 2 * bead_mm_);
    return reaches && length_mm_ >= enough * (frame_mm + inner_mm2 / (beads_apart * bead_mm_));
}

void BlockWatch::begin_layer(double z_mm, Lines lines) {
    if (z_mm < z_mm_) fail({z_mm_ - z_mm, 0.0}, lines, "the block is laid below what stands of it");
    if (begun_ && !is_whole())
        fail({}, lines, "the layer of the block below this one is not whole");
    // The print may have begun its layer at this height already.
    const double below_mm = print_z_mm_ < z_mm - same_mm ? print_z_mm_ : below_z_mm_;
    if (begun_ && printed_ && std::abs(z_mm_ - below_mm) > same_mm)
        fail({std::abs(z_mm_ - below_mm), same_mm}, lines,
             "a layer of the block is left out below this one");
    height_mm_ = z_mm - z_mm_;
    if (height_mm_ > bead_mm_ + same_mm)
        fail({height_mm_, bead_mm_ + same_mm}, lines, "the block is laid above air");
    z_mm_ = z_mm;
    length_mm_ = 0.0;
    begun_ = true;
}

void BlockWatch::lay(const Act& bead, double set_c, bool drawn, const Precision& precision,
                     std::uint64_t output_line) {
    const Lines lines = {0, output_line};
    if (!begun_ || std::abs(bead.to.z - z_mm_) > same_mm) {
        begin_layer(bead.to.z, lines);
        low_ = high_ = bead.from;
    }
    if (drawn) ledger_.fail(Invariant::balanced, {}, lines, "lays the block while retracted");
    const bool level = std::abs(bead.from.z - bead.to.z) <= same_mm && !bead.is_arc;
    if (!level || !is_within(bead.from, 2 * precision.xy_mm) ||
        !is_within(bead.to, 2 * precision.xy_mm)) {
        fail({bead.length_mm}, lines, "is declared to lie on the block, and lies beside it");
    }
    for (const Point& point : {bead.from, bead.to}) {
        low_ = {std::min(low_.x, point.x), std::min(low_.y, point.y), 0.0};
        high_ = {std::max(high_.x, point.x), std::max(high_.y, point.y), 0.0};
    }
    length_mm_ += bead.length_mm;
    primed_mm_ += bead.e_mm;
    const double flow = curve_ && set_c > 0 ? curve_->flow(set_c) : 1.0;
    // In mm of filament.
    const double area_mm2 = plan_.machine.filament_area_mm2();
    const double side_mm2 = bead.length_mm * height_mm_ * flow;
    const double as_others_mm = bead_mm_ * side_mm2 / area_mm2;
    const double least_mm = thinnest * as_others_mm - 2 * precision.e_mm;
    const double most_mm =
        thickest * bead_mm_ * (side_mm2 + 2 * precision.xy_mm) / area_mm2 + 2 * precision.e_mm;
    const double off_mm = bead.e_mm - as_others_mm;
    const double limit_mm = off_mm < 0 ? as_others_mm - least_mm : most_mm - as_others_mm;
    if (std::abs(off_mm) > limit_mm) {
        ledger_.fail(Invariant::right_amount, {std::abs(off_mm), limit_mm}, lines,
                     "a bead of the block is not as wide as the others");
    }
}

void BlockWatch::print(const Act& bead, const plan::Tool* tool, const Precision& precision,
                       Lines lines) {
    if (!plan_.block) return;
    if (is_within(bead.from, 0.0) || is_within(bead.to, 0.0))
        fail({bead.length_mm}, lines, "lies in the purge block");
    const bool rises = printed_ && bead.to.z > print_z_mm_ + same_mm;
    const bool is_ahead = begun_ && std::abs(z_mm_ - bead.to.z) <= same_mm;
    if (rises && !is_ahead && (!is_whole() || std::abs(z_mm_ - print_z_mm_) > same_mm))
        fail({}, lines, "the layer of the block below this one is missing or not whole");
    if (swapped_ && tool != nullptr && tool->prime && tool->prime->on_block) {
        const double refill_mm =
            tool->prime->refills ? lost_mm3_ / plan_.machine.filament_area_mm2() : 0.0;
        const double missing_mm = tool->prime->length_mm + refill_mm - primed_mm_;
        const double limit_mm = 20 * precision.e_mm;
        if (missing_mm > limit_mm)
            fail({missing_mm, limit_mm}, lines,
                 "is printed by a tool that has not primed on the block");
    }
    if (rises) below_z_mm_ = print_z_mm_;
    printed_ = true;
    swapped_ = false;
    print_z_mm_ = bead.to.z;
}

void BlockWatch::finish(std::uint64_t output_line) {
    if (open_) fail({}, {0, output_line}, "a visit of the block without end");
}

}  // namespace durograde::check
