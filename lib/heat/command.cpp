#include "heat/command.hpp"

#include "command_template.hpp"

namespace durograde::heat {

std::string set_command(const plan::Plan& plan, int tool, double temperature_c) {
    grammar::SlotValues values;
    values.tool = tool;
    values.temperature_c = temperature_c;
    std::string command;
    expand(plan.machine.write.set, values, command);
    return command;
}

std::string all_off(const plan::Plan& plan, std::string_view line_end) {
    std::string lines;
    for (const plan::Tool& tool : plan.tools) {
        lines.append(set_command(plan, tool.number, 0)).append(line_end);
    }
    for (const std::string_view command : {"M140 S0", "M141 S0"}) {
        lines.append(command).append(line_end);
    }
    return lines;
}

}  // namespace durograde::heat
