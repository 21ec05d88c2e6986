#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "program/said_limits.hpp"
#include "program/step.hpp"

namespace durograde::program {

/// The settings in force at one place of the program: the lines that made them, by family, so that
/// they can be said again elsewhere. Fan and label are kept apart: they are values.
class Settings {
  public:
    /// Takes one setting line (its text without line number and checksum) into account; `limits`
    /// are what the program has said of the machine's limits with it, `barriers` how many commands
    /// came before it that may have changed anything.
    void apply(const Step& step, std::string_view text, const SaidLimits& limits,
               long barriers = 0);

    [[nodiscard]] const SaidLimits& limits() const noexcept { return limits_; }

    /// How many commands, and fans, it holds a line of.
    [[nodiscard]] std::size_t families() const noexcept { return families_.size(); }

    /// Whether everything that a setting line sets has been set before: only then can the state
    /// before it be said again.
    [[nodiscard]] bool replaces(const Step& step) const;

    /// Lines to say, in order, so that a machine in state `before` comes to this state; what was
    /// said anew since an unknown command is said too. `anew` says all again: tools were changed.
    /// The bed's set-point, which is a setting as well, no tool changes.
    [[nodiscard]] std::vector<std::string_view> lines_after(const Settings& before,
                                                            bool anew = false) const;

    friend bool operator==(const Settings& a, const Settings& b);

  private:
    struct Entry {
        std::uint32_t letters = 0;  ///< parameters that the line gives
        std::string text;
        friend bool operator==(const Entry&, const Entry&) = default;
    };
    struct Family {
        std::uint32_t key = 0;
        std::vector<Entry> entries;  ///< in the order they were given, none wholly replaced
        long said_at = 0;            ///< after so many commands that may have changed anything
        friend bool operator==(const Family&, const Family&) = default;
    };
    /// States that follow one another share what they have in common.
    std::vector<std::shared_ptr<const Family>> families_;
    SaidLimits limits_;
};

}  // namespace durograde::program
