#include "report/caution.hpp"

namespace durograde::report {

const std::string_view caution =
    "Hot tools burn, tool changers move without warning, heated filament gives off fumes, and\n"
    "overheated polyurethane can give off isocyanates: ventilate, keep hands off, leave thermal\n"
    "runaway protection on and a smoke alarm near, and follow local rules for unattended "
    "machines.\n"
    "Parts that touch skin are not proven harmless by printing well: ask a licensed "
    "professional.\n";

const std::string_view short_caution =
    "Hot tools burn and tool changers move without warning: hands off, ventilate, thermal runaway "
    "protection on, a smoke alarm near, local rules for unattended machines.";

const std::string_view heating_caution =
    "Heat by the machine's own set-point, with thermal runaway protection on, and stay beside it:\n"
    "hot tools burn.\n";

}  // namespace durograde::report
