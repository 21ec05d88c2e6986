#pragma once

#include <cmath>
#include <string>
#include <vector>

#include "line.hpp"
#include "plan/plan.hpp"
#include "program/state.hpp"
#include "program/step.hpp"
#include "text/diagnostic.hpp"
#include "text/line_source.hpp"

namespace durograde::program {

/// No word of a program is larger: 100 litres of filament, and sums of it can still be written.
inline constexpr double largest_number = 1e8;

/// What the interpreter must know of the machine. Without a plan the defaults read any
/// dialect-neutral program.
struct Dialect {
    plan::Reads reads;
    double filament_area_mm2 = 2.405281875;  ///< of 1.75 mm filament
    std::vector<int> tools;                  ///< numbers that are tools; empty: 0 to 31
    std::vector<std::string> settings;       ///< further commands that only set state
    std::vector<std::string> tells;          ///< further commands that only tell or ask
    plan::Writes write;                      ///< spellings of tools and set-points
    double hottest_c = 500;                  ///< a hotter set-point is refused
    double coldest_extrusion_c = 0;
    double speed_limit_per_s = 1;  ///< seconds per time unit of M203: 1 or 60
    bool is_said = false;          ///< by a plan; else these are the defaults
    bool check_reach = false;
    plan::Range reach_x, reach_y, reach_z;

    static Dialect of(const plan::Plan& plan);
};

/// A bead that is printed colder than the machine may extrude.
Failure too_cold(Place place, double set_point_c, double coldest_c);

/// Gives lines their meaning: absolute mm, mm of filament, and what kind of line it is. A line is
/// validated whole before any state changes.
class Interpreter {
  public:
    Interpreter(Dialect dialect, std::string file);

    /// Interprets `raw` (parsed as `line`) into `step`. Throws Failure (Exit::bad_input) with the
    /// place for what cannot be graded: a malformed move, a wrong checksum, an impossible number.
    void interpret(const RawLine& raw, const grammar::Line& line, Step& step);

    /// Throws Failure (Exit::bad_input) where `raw`, a bead that was just interpreted, is printed
    /// by a tool that was set too cold to extrude.
    void check_warm(const RawLine& raw) const;

    [[nodiscard]] const State& state() const noexcept { return state_; }
    [[nodiscard]] const Dialect& dialect() const noexcept { return dialect_; }
    /// A failure that points at `column` (from 1) of this line.
    [[nodiscard]] Failure failure(const RawLine& raw, std::size_t column, std::string code,
                                  std::string text, std::string mend) const;

  private:
    struct Codes;
    void check_checksum(const RawLine& raw, const grammar::Line& line) const;
    void interpret_g(const RawLine& raw, const grammar::Line& line, Step& step);
    void interpret_m(const RawLine& raw, const grammar::Line& line, Step& step);
    void interpret_command(const RawLine& raw, const grammar::Line& line, Step& step);
    void interpret_name(const RawLine& raw, const grammar::Line& line, Step& step);
    void interpret_tool(const grammar::Line& line, Step& step);
    void select(const grammar::Word& word, Step& step);
    void doubt_tool(Step& step);
    void take_tool(int number);
    [[nodiscard]] bool only_tells(const RawLine& raw, const grammar::Line& line) const;
    bool take_spelling(const RawLine& raw, const grammar::Line& line, Step& step);
    void refuse_loop(const RawLine& raw, const grammar::Line& line) const;
    void refuse_unknown_path(const RawLine& raw, const grammar::Line& line) const;
    void apply_modal(const Codes& codes);
    void move(const RawLine& raw, const grammar::Line& line, int motion, Step& step);
    void read_words(const RawLine& raw, const grammar::Line& line, Step& step) const;
    void read_feed(const RawLine& raw, const grammar::Word& word, Step& step) const;
    void read_arc(const RawLine& raw, const grammar::Line& line, bool clockwise, Step& step);
    double arc_rounding_mm(const grammar::Line& line);
    void check_move(const RawLine& raw, const grammar::Line& line, const Step& step,
                    bool start_known) const;
    void check_reach(const RawLine& raw, const grammar::Line& line, const Step& step) const;
    void classify_move(Step& step) const;
    void commit_move(const grammar::Line& line, Step& step);
    void feed_in_place(Step& step);
    void set_registers(const RawLine& raw, const grammar::Line& line, Step& step);
    void state_axis(std::size_t axis, double value_mm);
    void change_offset(int code);
    void lose_zero();
    void set_distance_mode(bool relative);
    void forget_axes(const grammar::Line& line);
    void interpret_g10(const RawLine& raw, const grammar::Line& line, Step& step);
    void read_fan(const RawLine& raw, const grammar::Line& line, int code, Step& step);
    void read_heat(const RawLine& raw, const grammar::Line& line, bool waits, Step& step);
    void read_wait(const grammar::Line& line, Step& step) const;
    void read_volumetric(const RawLine& raw, const grammar::Line& line);
    void read_label(const grammar::Line& line, Step& step);
    void read_setting(const grammar::Line& line, Step& step) const;
    [[nodiscard]] static std::uint32_t address_of(const grammar::Line& line);
    [[nodiscard]] bool is_extra_setting(const grammar::Word& word) const;
    [[nodiscard]] bool is_tool(std::int64_t number) const;
    [[nodiscard]] double number_of(const RawLine& raw, const grammar::Word& word) const {
        if (word.value != grammar::Value::number) missing_number(raw, word);
        const double number = word.number();
        if (std::abs(number) > largest_number) impossible_number(raw, word);
        return number;
    }
    [[noreturn]] void missing_number(const RawLine& raw, const grammar::Word& word) const;
    [[noreturn]] void impossible_number(const RawLine& raw, const grammar::Word& word) const;

    Dialect dialect_;
    std::string file_;
    int arc_decimals_ = 0;  ///< the most that an arc has been written with
    State state_;
};

}  // namespace durograde::program
