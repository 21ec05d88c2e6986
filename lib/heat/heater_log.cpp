#include "heat/heater_log.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <limits>

#include "text/diagnostic.hpp"

namespace durograde::heat {
namespace {

constexpr std::size_t most_faults = 20;
// A controller lowers the duty on its last way to a set-point (common practice, no source).
constexpr double near_k = 10.0;
constexpr double gap_factor = 5.0;
constexpr double unknown = std::numeric_limits<double>::quiet_NaN();

enum Column : std::size_t { time, temperature, duty, set_point, ambient, columns };
constexpr std::array<std::string_view, columns> column_names = {"time", "temperature", "duty",
                                                                "set_point", "ambient"};
struct Bounds {
    double low, high;
    const char* mend;
};
// Time within a year; temperatures within what a plan may hold (docs/limits.md), with room below.
constexpr const char* in_celsius = "write °C, from -50 to 600; leave out rows of a broken sensor";
constexpr std::array<Bounds, columns> bounds = {{{-4e7, 4e7, "write seconds"},
                                                 {-50, 600, in_celsius},
                                                 {0, 1, "write 0 to 1, not percent"},
                                                 {-50, 600, in_celsius},
                                                 {-50, 600, in_celsius}}};

using Row = std::array<double, columns>;

struct Field {
    std::string_view text;
    std::size_t column = 1;  ///< of its first byte in the line, from 1
};

std::string_view trimmed(std::string_view text) {
    constexpr std::string_view blanks = " \t\r\"";
    const std::size_t begin = text.find_first_not_of(blanks);
    if (begin == std::string_view::npos) return {};
    return text.substr(begin, text.find_last_not_of(blanks) - begin + 1);
}

std::vector<Field> fields_of(std::string_view line, char separator) {
    std::vector<Field> fields;
    for (std::size_t at = 0; at <= line.size();) {
        const std::size_t end = std::min(line.find(separator, at), line.size());
        const std::string_view text = trimmed(line.substr(at, end - at));
        const auto offset = text.empty() ? at : static_cast<std::size_t>(text.data() - line.data());
        fields.push_back({text, offset + 1});
        at = end + 1;
    }
    return fields;
}

/// Reads rows and gathers faults. Which field holds which column is known once the header is read.
class Reader {
  public:
    explicit Reader(std::string name) : name_(std::move(name)) { places_.fill(none); }

    void take(const RawLine& raw) {
        std::string_view line = raw.text;
        if (raw.number == 1 && line.starts_with("\xEF\xBB\xBF")) line.remove_prefix(3);
        raw_ = raw.text;
        number_ = raw.number;
        line = line.substr(0, line.find('#'));
        if (trimmed(line).empty()) return;
        has_header_ ? read_row(line) : read_header(line);
    }

    [[nodiscard]] bool has_enough_faults() const { return faults_.size() >= most_faults; }

    /// The rows; throws what was found wrong.
    std::vector<Row> rows() {
        if (!has_header_) {
            fault(0, "no-columns", "this log is empty",
                  "begin it with a line that names its columns: time,temperature,duty");
        }
        if (!faults_.empty()) throw Failure(Exit::bad_input, std::move(faults_));
        return std::move(rows_);
    }
    [[nodiscard]] bool has(Column column) const { return places_[column] != none; }

  private:
    static constexpr std::size_t none = std::numeric_limits<std::size_t>::max();

    void fault(std::size_t column, const char* code, std::string text, std::string mend) {
        faults_.push_back({.code = code,
                           .text = std::move(text),
                           .mend = std::move(mend),
                           .place = {name_, number_, column},
                           .source_line = std::string(raw_.substr(0, 4096))});
    }

    void read_header(std::string_view line) {
        has_header_ = true;
        separator_ = line.find(';') != std::string_view::npos ? ';' : ',';
        const std::vector<Field> fields = fields_of(line, separator_);
        for (std::size_t i = 0; i < fields.size(); ++i) {
            const auto* const known =
                std::find(column_names.begin(), column_names.end(), fields[i].text);
            if (known == column_names.end()) continue;
            auto& place = places_[static_cast<std::size_t>(known - column_names.begin())];
            if (place != none) {
                fault(fields[i].column, "duplicate",
                      "a second column is named " + std::string(*known), "give it another name");
            }
            place = i;
        }
        need(time, fields);
        need(temperature, fields);
        if (!has(duty) && !has(set_point)) need(duty, fields);
    }

    void need(Column column, const std::vector<Field>& fields) {
        if (has(column)) return;
        const std::string_view name = column_names[column];
        std::string mend = column == duty ? "log the heater's duty, 0 to 1, as duty, or the "
                                            "set-point in °C as set_point"
                                          : "name it in the first line";
        for (const Field& field : fields) {
            if (nearest(field.text, {name}).empty()) continue;
            mend = "was " + std::string(field.text) + " meant? Its name is " + std::string(name);
        }
        fault(1, "no-column", "no column is named " + std::string(name), std::move(mend));
    }

    void read_row(std::string_view line) {
        const std::vector<Field> fields = fields_of(line, separator_);
        Row row{};
        row.fill(unknown);
        const std::size_t before = faults_.size();
        for (std::size_t column = 0; column < columns; ++column) {
            if (places_[column] != none) row[column] = read(column, fields, line.size());
        }
        if (faults_.size() > before) return;
        if (!rows_.empty() && row[time] <= rows_.back()[time]) {
            return fault(fields[places_[time]].column, "time-not-rising",
                         "the time is not later than in the row before",
                         "leave out rows that were logged twice, and part logs of two runs");
        }
        if (rows_.size() == most_log_rows) {
            throw Failure(Exit::bad_input,
                          Diagnostic{.code = "log-too-long",
                                     .text = "this log has more than " +
                                             std::to_string(most_log_rows) + " rows",
                                     .mend = "one heating and one cooling are enough: some minutes",
                                     .place = {name_, number_, 0}});
        }
        rows_.push_back(row);
    }

    double read(std::size_t column, const std::vector<Field>& fields, std::size_t line_end) {
        const std::string name(column_names[column]);
        if (places_[column] >= fields.size()) {
            fault(line_end + 1, "no-value", "this row ends before its " + name,
                  "leave it out, or complete it");
            return unknown;
        }
        const Field& field = fields[places_[column]];
        double value = unknown;
        const char* const end = field.text.data() + field.text.size();
        const auto result = std::from_chars(field.text.data(), end, value);
        if (result.ec != std::errc() || result.ptr != end || !std::isfinite(value)) {
            fault(field.column, "not-a-number",
                  name + (field.text.empty() ? " is missing here" : " is no number"),
                  "write a number with a decimal point, or leave the row out");
            return unknown;
        }
        if (value < bounds[column].low || value > bounds[column].high) {
            fault(field.column, "out-of-range", name + " cannot be so", bounds[column].mend);
        }
        return value;
    }

    std::string name_;
    std::string_view raw_;
    std::uint64_t number_ = 0;
    bool has_header_ = false;
    char separator_ = ',';
    std::array<std::size_t, columns> places_{};
    std::vector<Row> rows_;
    std::vector<Diagnostic> faults_;
};

/// What a set-point tells of the duty; not a number where it tells nothing.
double duty_by_set_point(const Row& row) {
    if (row[set_point] <= 0) return 0.0;
    const double above_k = row[temperature] - row[set_point];
    if (std::abs(above_k) <= near_k) return unknown;
    return above_k < 0 ? 1.0 : 0.0;
}

/// Whether what a set-point tells at `row` holds up to `next`: the controller may have changed the
/// duty in between where it does not tell the same there.
bool holds_until(const Row& row, const Row& next) {
    return next[set_point] == row[set_point] && duty_by_set_point(next) == duty_by_set_point(row);
}

/// The distance in time that half of the rows keep at most.
double usual_step_s(const std::vector<Row>& rows) {
    std::vector<double> steps;
    for (std::size_t i = 1; i < rows.size(); ++i) {
        steps.push_back(rows[i][time] - rows[i - 1][time]);
    }
    if (steps.empty()) return 0.0;
    const auto middle = steps.begin() + static_cast<std::ptrdiff_t>(steps.size() / 2);
    std::nth_element(steps.begin(), middle, steps.end());
    return *middle;
}

void average_ambient(const std::vector<Row>& rows, HeaterLog& log) {
    double sum = 0.0, squares = 0.0;
    for (const Row& row : rows) sum += row[ambient];
    const double mean = sum / static_cast<double>(rows.size());
    for (const Row& row : rows) squares += (row[ambient] - mean) * (row[ambient] - mean);
    log.ambient_c = mean;
    log.ambient_spread_k = std::sqrt(squares / static_cast<double>(rows.size()));
}

}  // namespace

HeaterLog read_heater_log(LineSource& source) {
    Reader reader(source.name());
    RawLine line;
    while (!reader.has_enough_faults() && source.next(line)) reader.take(line);
    const std::vector<Row> rows = reader.rows();
    HeaterLog log{.name = source.name()};
    if (reader.has(ambient) && !rows.empty()) average_ambient(rows, log);
    const double widest_s = gap_factor * usual_step_s(rows);
    const bool has_duty = reader.has(duty);
    for (std::size_t i = 0; i < rows.size(); ++i) {
        const Row& row = rows[i];
        HeaterSample sample{row[time], row[temperature], 0.0, false};
        const double known = has_duty ? row[duty] : duty_by_set_point(row);
        if (std::isfinite(known)) sample.duty = known;
        if (i + 1 < rows.size()) {
            const Row& next = rows[i + 1];
            sample.goes_on = std::isfinite(known) && next[time] - row[time] <= widest_s &&
                             (has_duty || holds_until(row, next));
        }
        log.samples.push_back(sample);
    }
    return log;
}

}  // namespace durograde::heat
