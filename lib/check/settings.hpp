#pragma once

#include <cstdint>
#include <string_view>
#include <vector>

#include "line.hpp"

namespace durograde::check {

/// The parameters that setting commands have given so far. Two programs stand at the same settings
/// where their marks are equal, whatever lines led there.
class Settings {
  public:
    /// Takes a setting command into account. `text` is the whole line. Parameters that the line
    /// does not give keep their values, except for commands that always say everything.
    void apply(std::string_view text, const grammar::Line& line);

    /// Equal for equal parameters. A sum of well mixed 64-bit numbers: that two different states of
    /// one program agree by chance is out of the question.
    [[nodiscard]] std::uint64_t mark() const noexcept { return mark_; }

    /// How often a parameter was given for the first time, or anew after a line that said
    /// everything. Where it grows, what held before cannot be said again.
    [[nodiscard]] std::size_t firsts() const noexcept { return firsts_; }

    /// The number that `command` (M204: 204) last gave for `letter`, or `otherwise`.
    [[nodiscard]] double number(std::uint32_t command, char letter,
                                double otherwise) const noexcept;

  private:
    struct Parameter {
        std::uint64_t family = 0;  ///< command and, where it has one, index
        char letter = 0;
        std::uint64_t value = 0;  ///< stands for the number or text given
        double number = 0.0;
    };
    void count_firsts(std::uint64_t family, const grammar::Line& line);
    void forget(std::uint64_t family);
    void set(const Parameter& parameter);

    std::vector<Parameter> parameters_;
    std::uint64_t mark_ = 0;
    std::size_t firsts_ = 0;
};

}  // namespace durograde::check
