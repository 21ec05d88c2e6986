#pragma once

#include <cstdint>
#include <map>
#include <set>
#include <string>

#include "line.hpp"
#include "program/state.hpp"
#include "program/step.hpp"
#include "text/line_source.hpp"

namespace durograde::grade {

/// How a program ends.
struct Ending {
    bool amid_line = false;   ///< its last line has no line end
    bool heaters_on = false;  ///< some are set, or a macro of the begin is likely to have set them
    /// After the last bead it does what ends of programs do: it switches a heater or the motors
    /// off, homes, ends, or calls a macro that it has not called amid its beads.
    bool has_own_end = false;
    std::uint64_t last_line = 0;

    /// It ends amid a line, or amid its beads with heaters on.
    [[nodiscard]] bool is_cut_short() const noexcept {
        return amid_line ? heaters_on || !has_own_end : heaters_on && !has_own_end;
    }
};

/// Watches a program's lines for what tells whether it was cut short.
class EndingWatch {
  public:
    /// Every line, with its meaning and the state after it.
    void see(const RawLine& raw, const grammar::Line& line, const program::Step& step);
    /// At the end. `state`: of all lines. A program without beads ends as it ends.
    [[nodiscard]] Ending ending(const RawLine& last, const program::State& state) const;

  private:
    void see_bead();
    void see_other_heater(int code, const grammar::Line& line);
    [[nodiscard]] bool ends(const RawLine& raw, const grammar::Line& line,
                            const program::Step& step);

    std::set<std::string, std::less<>> macros_;  ///< called before the last bead
    std::set<std::string, std::less<>> new_macros_;
    std::map<int, bool> others_on_;  ///< bed and chamber, by command
    bool has_beads_ = false, has_end_ = false;
    bool tells_heat_ = false, begins_by_macro_ = false;
};

}  // namespace durograde::grade
