#pragma once

#include <string>
#include <string_view>

#include "program/state.hpp"
#include "text/byte_buffer.hpp"
#include "text/number.hpp"

namespace durograde::program {

/// With how many decimals numbers are written: the input's own, and never so few that a cut would
/// move by more than a few µm.
struct Decimals {
    int xy = 3, z = 3, e = 5, f = 0;
};

/// `point` as it can be written: rounded to the decimals in the frame's units, from the frame's
/// origin.
Point rounded(const Point& point, const Frame& frame, const std::array<double, 3>& origin_mm,
              const Decimals& decimals);

/// Writes moves as text and knows what the controller that reads them will hold: position, frame, E
/// register, feed. The words follow the frame that is in force (inch, relative, volumetric).
class Writer {
  public:
    Writer(ByteBuffer& out, Decimals decimals, std::string line_end);

    /// The controller is in `state` now: raw lines went by.
    void adopt(const State& state);
    /// The plan's own lines have led the nozzle there.
    void stand_at(const Point& point) noexcept { position_ = point; }
    /// And its count of E is this one.
    void count_from(double e_register) noexcept { e_register_ = e_register; }

    /// Lines written so far.
    [[nodiscard]] std::uint64_t lines() const noexcept { return lines_; }

    // What the reader of the output holds.
    [[nodiscard]] const Frame& frame() const noexcept { return frame_; }
    [[nodiscard]] const Point& position() const noexcept { return position_; }
    [[nodiscard]] double e_register() const noexcept { return e_register_; }
    [[nodiscard]] double feed_mm_min() const noexcept { return feed_mm_min_; }
    [[nodiscard]] bool is_at(const Point& point) const noexcept;
    [[nodiscard]] bool knows_position() const noexcept {
        return known_[0] && known_[1] && known_[2];
    }
    [[nodiscard]] bool knows_height() const noexcept { return known_[2]; }
    /// Whether the program's places are the machine's.
    [[nodiscard]] bool counts_from_home() const noexcept {
        return origin_mm_ == std::array<double, 3>{};
    }
    [[nodiscard]] bool counts_e_from(double e_register) const noexcept;

    /// `point` as it can be written in the frame in force.
    [[nodiscard]] Point rounded(const Point& point) const {
        return program::rounded(point, frame_, origin_mm_, decimals_);
    }

    /// The least filament that a number can tell in the frame in force, mm.
    [[nodiscard]] double least_filament_mm() const noexcept {
        return frame_.e_unit_mm() / power_of_ten(decimals_.e);
    }

    /// One line of text as it is, with a line end of the program's own.
    void line(std::string_view text);
    /// Moves to `to`; writes the axes that change or are not known, and the feed where it changes.
    /// Nothing where the head stands there already.
    void travel(const Point& to, double feed_mm_min);
    /// Moves in height alone.
    void lift(double z_mm, double feed_mm_min);
    /// Feeds filament alone.
    void filament(double e_mm, double feed_mm_min);
    /// Extrudes in a straight line.
    void bead(const Point& to, double e_mm, double feed_mm_min);
    /// Extrudes (or travels, where `e_mm` is 0) along an arc.
    void arc(const Point& to, const Arc& arc, double e_mm, double feed_mm_min);
    /// Adds filament to the next amount that is written.
    void owe(double e_mm) noexcept;
    void feed(double feed_mm_min);
    /// Says anew, in absolute numbers, what a tool change or a command that is not understood may
    /// have changed: units apart, distance and E mode, the count of E, the height (at this feed,
    /// where it is known) and, where the place is lost, X and Y by the next travel. Returns how
    /// many lines that took.
    int restate(double feed_mm_min, bool is_lost);
    /// Says what of units, distance and E mode the program has not said itself. Returns how many
    /// lines that took.
    int say_unsaid(const Said& said);
    /// Commands that lead from the frame in force to `frame`.
    void change_frame(const Frame& frame, double e_register);
    /// Sets the E register to `e_register` without motion.
    void set_register(double e_register);

    /// Copies a move's line (its text with its line end). The caller has made sure that position,
    /// frame and E register are those that the line was written for.
    void copy(std::string_view text, std::string_view ending, const Point& to,
              double e_register_after, double feed_mm_min,
              const std::array<bool, 3>& known = {true, true, true});
    /// The same with another amount of filament: only the E number is written anew.
    void copy_with_filament(std::string_view text, std::string_view ending, std::size_t e_begin,
                            std::size_t e_end, const Point& to, double e_mm, double feed_mm_min);
    /// Copies a line that moves nothing.
    void copy_other(std::string_view text, std::string_view ending);
    /// Copies a line after which numbers are read in `frame`.
    void copy_frame(std::string_view text, std::string_view ending, const Frame& frame);
    /// Copies a line that sets the E register to `e_register`.
    void copy_register(std::string_view text, std::string_view ending, double e_register);

  private:
    char* word(char* at, char letter, double value, int decimals) const;
    /// Writes the word of an axis and takes its number, as rounded, for the position.
    char* axis_word(char* at, std::size_t axis, double to);
    char* feed_word(char* at, double feed_mm_min);
    char* filament_number(char* at, double e_mm);
    char* end_line(char* at);
    char* end_line(char* at, std::string_view ending);

    ByteBuffer& out_;
    std::uint64_t lines_ = 0;
    Decimals decimals_;
    std::string line_end_;
    Frame frame_;
    Point position_;
    std::array<bool, 3> known_{};
    std::array<double, 3> origin_mm_{};
    double e_register_ = 0.0;
    double e_owed_ =
        0.0;  ///< relative E not yet written because of rounding, in units of the E word
    double feed_mm_min_ = 0.0;
};

}  // namespace durograde::program
