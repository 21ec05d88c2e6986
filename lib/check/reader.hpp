#pragma once

#include <string>
#include <string_view>

#include "check/act.hpp"
#include "line.hpp"
#include "plan/plan.hpp"
#include "text/line_source.hpp"

namespace durograde::check {

/// Reads a program line by line and says what each line does. It never throws for what a line says:
/// what cannot be read is an act of its own kind.
class Reader {
  public:
    /// Reads `fd` from its beginning. `plan` must outlive the reader.
    Reader(const plan::Plan& plan, int fd, std::string name);

    /// Goes on to the next line; false at the end.
    bool next();

    [[nodiscard]] const Act& act() const noexcept { return act_; }
    /// After the line's own effect.
    [[nodiscard]] const State& state() const noexcept { return state_; }
    [[nodiscard]] const RawLine& raw() const noexcept { return raw_; }
    [[nodiscard]] const grammar::Line& line() const noexcept { return line_; }
    /// The command without line number, checksum, comment and blanks around it.
    [[nodiscard]] std::string_view command() const;
    [[nodiscard]] const std::string& name() const noexcept { return source_.name(); }

    /// Of an arc the distances of start and end from the centre may differ by this much more than
    /// else: what the decimals allow that its numbers were copied from.
    void allow_arcs_off_by(double mm) { arc_slack_mm_ = mm; }
    /// The most by which they have differed so far.
    [[nodiscard]] double arcs_off_by_mm() const noexcept { return arcs_off_by_mm_; }

    // What only a plan's own spelling of a command can tell.
    void take_tool(int tool);
    void take_set_point(int tool, double celsius);
    /// Of what the plan's own lines around a swap have set nothing stands but how numbers are read
    /// and where the nozzle is: fan, settings and label are as in `state`, and `tool` is in use.
    void forget_since(const State& state, int tool);

  private:
    void interpret();
    void malformed();
    [[nodiscard]] bool goes_on_moving(const grammar::Word& first) const;
    [[nodiscard]] bool has_right_checksum() const;
    [[nodiscard]] bool is_setting(const grammar::Word& word) const;
    void first_t();
    void t_word(const grammar::Word& word);
    void may_select();
    [[nodiscard]] bool says_nothing() const;
    [[nodiscard]] bool repeats_lines() const;
    void spelled_out();
    bool fault(const char* what, const grammar::Word& word);
    bool number(const grammar::Word& word, double& value);

    // reader.cpp: moves
    void g_words();
    void move(int motion);
    bool read_words();
    void read_filament(const grammar::Word& word);
    void settle_move(int motion);

    // reader_arcs.cpp
    bool read_arc(bool clockwise);
    bool center_from_radius(const grammar::Word& r, bool clockwise);
    bool sweep(bool clockwise);
    void turn_to_end(bool clockwise);
    void level(bool clockwise);
    [[nodiscard]] double rounding_mm();

    // reader_tools.cpp: tools, and what is no letter with a number
    // reader_commands.cpp: the rest
    void other_g(int code, std::uint32_t count);
    void registers();
    void shift_zero(int code);
    void cast_off();
    void retraction(int code);
    bool extrudes_otherwise();
    void forget_axes(int code);
    [[nodiscard]] bool is_far(const Point& point) const;
    void m_word();
    void wait_for_all();
    void heat(bool waits);
    void fan(int code);
    void volumetric();
    void label();
    void setting();

    const plan::Plan& plan_;
    LineSource source_;
    RawLine raw_;
    grammar::Line line_;
    Act act_;
    State state_;
    double e_word_ = 0.0;
    bool has_e_ = false;
    double arc_slack_mm_ = 0.0, arcs_off_by_mm_ = 0.0;
    double finest_arc_unit_ = 1.0;  ///< of the last decimal of the arcs so far
};

/// Code of a G or M word in tenths: G92.1 is 921. -1 where it is no such number.
int code_in_tenths(const grammar::Word& word);

}  // namespace durograde::check
