#pragma once

#include <optional>
#include <vector>

#include "plan/keys.hpp"
#include "plan/plan.hpp"

/// One function for each section of a plan. Each reads its table, judges every value by itself and
/// against the sections read before, and reports to the reader's findings. `plan` is the root
/// table.
namespace durograde::plan {

Machine read_machine(TableReader& plan);
/// [machine.write]; with several tools a command that heats must say which one. Lines around a swap
/// keep within `limits`.
Writes read_writes(TableReader& machine, const Machine& limits, bool several_tools);

std::optional<Material> read_material(TableReader& plan);

/// What the tools are held against.
struct ToolContext {
    const Machine& machine;
    const std::optional<Material>& material;
    bool strings_asked = false, heat_asked = false;
};
std::vector<Tool> read_tools(TableReader& plan, const ToolContext& context);
/// Holds the temperature that `table` gives under `key` against what machine and material allow.
void check_temperature(TableReader& table, std::string_view key, double celsius,
                       const ToolContext& context);

std::vector<Shape> read_shapes(TableReader& plan);
/// A hardness by place, where no zone holds; nothing where the plan has none. Held against
/// material, tools and shapes of `plan`.
std::optional<Gradient> read_gradient(TableReader& reader, const Plan& plan);
/// Zones are held against machine, material, tools and shapes of `read`.
std::vector<Zone> read_zones(TableReader& reader, const Plan& read);

Split read_split(TableReader& plan);
Depth read_depth(TableReader& plan);
std::optional<Order> read_order(TableReader& plan);
std::optional<Strings> read_strings(TableReader& plan);
std::optional<Heat> read_heat(TableReader& plan);
/// Nothing where no tool primes on it.
std::optional<Block> read_block(TableReader& plan, const Machine& machine,
                                const std::vector<Tool>& tools);

/// What is told of parts and sheet before they are printed; nothing where the plan does not ask.
std::optional<Predict> read_predict(TableReader& plan, const Plan& read);
std::optional<Cost> read_cost(TableReader& plan);

/// Everything but `sheet` is read already: whether places must be listed depends on what is asked.
Sheet read_sheet(TableReader& reader, const Plan& plan);

/// The tool with this number, or null.
const Tool* find_tool(const std::vector<Tool>& tools, int number);
/// Tool numbers as messages list them: "tools 0, 1 and 2".
std::string list_of(const std::vector<Tool>& tools);

}  // namespace durograde::plan
