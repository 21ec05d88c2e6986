#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "text/line_source.hpp"

namespace durograde::heat {

inline constexpr std::size_t most_log_rows = 200'000;  ///< two days at one row a second

/// One row of a log: what was measured at a time.
struct HeaterSample {
    double time_s = 0.0;
    double temperature_c = 0.0;
    double duty = 0.0;     ///< 0 to 1, from this row to the next
    bool goes_on = false;  ///< the duty is known up to the next row
};

/// What was logged of one tool that was heated and left to cool.
struct HeaterLog {
    std::string name = {};                   ///< for messages
    std::vector<HeaterSample> samples = {};  ///< by rising time
    std::optional<double> ambient_c = {};    ///< mean of the column `ambient`, where there is one
    double ambient_spread_k = 0.0;           ///< standard deviation in that column
};

/// Reads a log: a header line that names the columns, then a row a line; fields parted by commas,
/// or by semicolons where the header has one; `#` begins a comment. Columns, in any order, others
/// are passed over: `time` (s), `temperature` (°C), `duty` (0 to 1) or `set_point` (°C, 0 is off),
/// and `ambient` (°C) if it was measured. A set-point tells full power below it and none above;
/// within 10 K of it the duty is unknown, and so it is between two rows that do not tell the same
/// and over a gap of more than 5 times the usual distance of rows. Throws Failure (Exit::bad_input)
/// with every fault and its place, 20 at most.
HeaterLog read_heater_log(LineSource& source);

}  // namespace durograde::heat
