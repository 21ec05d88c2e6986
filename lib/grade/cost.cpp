#include "grade/cost.hpp"

namespace durograde::grade {

CostFigures cost_of_sheet(const plan::Cost& cost, const Figures& figures) {
    constexpr double hour_s = 3600.0;
    CostFigures sheet;
    sheet.filament = figures.cost();
    sheet.machine_hours = figures.after_s / hour_s;
    sheet.machine_per_hour = cost.machine_per_hour;
    sheet.machine = sheet.machine_hours * cost.machine_per_hour;
    sheet.labour = cost.labour_per_sheet;
    sheet.sheet = sheet.filament + sheet.machine + sheet.labour;
    sheet.failure_share = cost.failure_share;
    sheet.good_sheet = sheet.sheet / (1 - cost.failure_share);
    sheet.failures = sheet.good_sheet - sheet.sheet;
    sheet.parts = static_cast<long>(figures.parts.size());
    if (sheet.parts == 0) return sheet;
    const auto parts = static_cast<double>(sheet.parts);
    sheet.good_part = sheet.good_sheet / parts;
    sheet.parts_per_day = cost.parts_per_day;
    if (cost.parts_per_day)
        sheet.hours_per_day =
            *cost.parts_per_day / parts * sheet.machine_hours / (1 - cost.failure_share);
    return sheet;
}

}  // namespace durograde::grade
