#include "report/filament.hpp"

#include <fmt/format.h>

#include <string_view>

namespace durograde::report {

std::string filament_line(const grade::Figures& f) {
    constexpr double least_mm3 = 0.05;  // of what is shown
    const auto part = [](std::string_view what, double mm3) {
        return mm3 >= least_mm3 ? fmt::format(" + {} {:.1f}", what, mm3) : std::string();
    };
    return fmt::format("Filament {:.1f} mm³ fed = beads {:.1f}{}{}{}{}{}\n", f.fed_mm3(),
                       f.beads_mm3(),
                       part("start and end", f.start_and_end.filament_mm * f.filament_area_mm2),
                       part("primes", f.prime_mm3 + f.refill_mm3), part("block", f.block_mm3),
                       part("around swaps", f.swap_lines_mm3), part("off beads", f.restart_mm3));
}

}  // namespace durograde::report
