#include <algorithm>
#include <string>

#include "plan/sections.hpp"

// What the plan asks of the passes that split, order, protect and heat.
namespace durograde::plan {
namespace {

/// A stroke is walked in steps no shorter than these: without a least one, a bead could take for
/// ever. A thousandth of a millimetre is far below what a printer places.
constexpr Bounds step_mm{0.001, 100.0};

}  // namespace

Split read_split(TableReader& plan) {
    Split split;
    auto table = plan.inner("split", "[split]");
    if (!table) return split;
    split.tolerance_mm = table->number("tolerance", split.tolerance_mm, step_mm);
    split.shortest_mm = table->number("shortest", split.shortest_mm, {0.0, 1000.0, false});
    split.step_mm = table->number("step", split.step_mm, step_mm);
    if (split.shortest_mm < split.tolerance_mm) {
        const Value* const shortest = table->find("shortest");
        table->findings().error(
            "contradiction", shortest != nullptr ? shortest->spot : table->find("tolerance")->spot,
            "`shortest` in [split], " + shown(split.shortest_mm) + " mm, is below `tolerance`, " +
                shown(split.tolerance_mm) + " mm",
            "a piece cannot be shorter than its ends are exact: raise `shortest`");
    }
    split.interlock_mm = table->number("interlock", split.interlock_mm, {0.0, 100.0});
    table->finish();
    return split;
}

Depth read_depth(TableReader& plan) {
    Depth depth;
    auto table = plan.inner("depth", "[depth]");
    if (!table) return depth;
    depth.cell_mm = table->number("cell", depth.cell_mm, {0.05, 1.0});
    depth.limit_mm = table->number("limit", depth.limit_mm, {0.5, 50.0});
    depth.open_cavities = table->truth("open_cavities", depth.open_cavities);
    depth.narrow_mm = table->number("narrow", depth.narrow_mm, {0.0, 100.0});
    table->finish();
    return depth;
}

std::optional<Order> read_order(TableReader& plan) {
    auto table = plan.inner("order", "[order]");
    if (!table) return std::nullopt;
    Order order;
    order.short_tour = table->choice("parts", {"short", "input"}) == 0;
    order.short_strokes = table->choice("strokes", {"short", "input"}) == 0;
    order.begins_inside = table->choice("begin", {"input", "inside"}) == 1;
    order.reverse = table->truth("reverse", order.reverse);
    table->finish();
    return order;
}

std::optional<Strings> read_strings(TableReader& plan) {
    auto table = plan.inner("strings", "[strings]");
    if (!table) return std::nullopt;
    Strings strings;
    strings.gap_mm = table->number("gap", strings.gap_mm, {0.0, 10000.0});
    strings.bend_mm = table->number("bend", strings.bend_mm, {0.0, 50.0});
    table->finish();
    return strings;
}

std::optional<Heat> read_heat(TableReader& plan) {
    auto table = plan.inner("heat", "[heat]");
    if (!table) return std::nullopt;
    Heat heat;
    heat.horizon_s = table->number("horizon", heat.horizon_s, {0.0, 86400.0, false});
    heat.idle_s = table->number("idle", heat.idle_s, {0.0, 86400.0});
    table->finish();
    return heat;
}

std::optional<Block> read_block(TableReader& plan, const Machine& machine,
                                const std::vector<Tool>& tools) {
    const auto on_block = std::find_if(tools.begin(), tools.end(), [](const Tool& tool) {
        return tool.prime && tool.prime->on_block;
    });
    auto table = plan.inner("block", "[block]");
    if (!table) {
        if (on_block != tools.end())
            plan.findings().error("missing-key", plan.table().spot,
                                  "tool " + std::to_string(on_block->number) +
                                      " primes on a \"block\", and the plan has no [block]",
                                  "add [block] with x, y and size = [20, 20]");
        return std::nullopt;
    }
    Block block;
    block.x_mm = table->needed_number("x", any_number, "x = 300, in mm");
    block.y_mm = table->needed_number("y", any_number, "y = 300, in mm");
    const std::vector<double> size = table->numbers("size", 2, {5.0, 200.0});
    if (size.empty()) {
        table->findings().error("missing-key", table->table().spot, "[block] lacks `size`",
                                "add size = [20, 20], in mm");
        table->finish();  // which tells of a `size` that was misspelt
        return std::nullopt;
    }
    block.width_mm = size[0];
    block.depth_mm = size[1];
    const bool fits = block.x_mm >= machine.reach_x.low && block.y_mm >= machine.reach_y.low &&
                      block.x_mm + block.width_mm <= machine.reach_x.high &&
                      block.y_mm + block.depth_mm <= machine.reach_y.high;
    if (!fits)
        table->findings().error("out-of-reach", table->table().spot,
                                "[block] lies outside of machine.reach",
                                "x and y are its lower left corner: move it, or make it smaller");
    table->finish();
    if (on_block != tools.end()) return block;
    table->findings().warning("no-use", table->table().spot, "no tool primes on the [block]",
                              "write prime = { where = \"block\", length = 5 }, or take it out");
    return std::nullopt;
}

}  // namespace durograde::plan
