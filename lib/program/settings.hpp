#pragma once

#include <cstdint>
#include <functional>
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
    /// are what the program has said of the machine's limits with it.
    void apply(const Step& step, std::string_view text, const SaidLimits& limits);

    [[nodiscard]] const SaidLimits& limits() const noexcept { return limits_; }

    /// Whether everything that a setting line sets has been set before: only then can the state
    /// before it be said again.
    [[nodiscard]] bool replaces(const Step& step) const;

    /// Lines to say, in order, so that a machine in state `before` comes to this state; those of
    /// families that are `stale` are said also where they have not changed.
    using IsStale = std::function<bool(std::uint32_t family)>;
    [[nodiscard]] std::vector<std::string_view> lines_after(const Settings& before,
                                                            const IsStale& stale = {}) const;

    /// The bed's set-point: it is a setting, but no tool and no unknown command changes it.
    static constexpr std::uint32_t bed_family = 1400U << 9;

    friend bool operator==(const Settings&, const Settings&) = default;

  private:
    struct Entry {
        std::uint32_t letters = 0;  ///< parameters that the line gives
        std::string text;
        friend bool operator==(const Entry&, const Entry&) = default;
    };
    struct Family {
        std::uint32_t key = 0;
        std::vector<Entry> entries;  ///< in the order they were given, none wholly replaced
        friend bool operator==(const Family&, const Family&) = default;
    };
    std::vector<Family> families_;
    SaidLimits limits_;
};

}  // namespace durograde::program
