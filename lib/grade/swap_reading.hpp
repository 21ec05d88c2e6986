#pragma once

#include <array>
#include <string>

#include "plan/plan.hpp"
#include "program/interpreter.hpp"

namespace durograde::grade {

/// Reads the plan's own lines around a swap as the machine will: where they lead, what they feed.
/// What a tool change does to the place is not known: a line behind it is taken to begin where the
/// one before it ended, and where it is said is told apart.
class SwapReading {
  public:
    explicit SwapReading(const plan::Plan& plan);

    /// The next lines begin with the nozzle at `at`, with this feed (0: none given yet) and
    /// override.
    void begin(const program::Point& at, double feed_mm_min, double speed_factor);
    /// The tool is selected.
    void select();
    /// What `text` does, written from `line`. Throws Failure (Exit::bad_plan) with its place where
    /// the machine cannot do that.
    const program::Step& read(const std::string& text, const plan::SwapLine& line);

    /// Whether the last line's way began where it is known to.
    [[nodiscard]] bool begins_known() const noexcept { return begins_known_; }
    /// Whether the height at which it ended is known.
    [[nodiscard]] bool knows_height() const noexcept { return said_[2]; }
    [[nodiscard]] double speed_factor() const noexcept { return interpreter_.state().speed_factor; }
    [[nodiscard]] const program::Point& place() const noexcept {
        return interpreter_.state().position;
    }

  private:
    void take(const std::string& text);

    program::Interpreter interpreter_;
    grammar::Line parsed_;
    program::Step step_;
    std::array<bool, 3> said_{};  ///< X, Y and Z, in absolute numbers since the tool was selected
    bool begins_known_ = true;
};

/// A line of the plan around a swap that does not fit this program.
Failure unfit_swap_line(const plan::SwapLine& line, const std::string& text, std::string why,
                        std::string mend);

}  // namespace durograde::grade
