#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>

#include "command_template.hpp"
#include "line.hpp"
#include "plan/plan.hpp"

namespace durograde::plan {

/// Why a line cannot stand in before_swap or after_swap, and what to do instead.
struct Unfit {
    std::string text, mend;
};

/// `text` as it is written around a swap: without blanks around it, and without a comment behind a
/// command.
std::string_view plain_swap_line(std::string_view text);

/// Reads the lines around a swap one after another, as the machine will: before_swap, then
/// after_swap. They begin in absolute mm and increments of filament.
class AroundSwap {
  public:
    /// `machine` must outlive this; its reach, speeds, settings and reads are looked at.
    explicit AroundSwap(const Machine& machine) : machine_(machine) {}

    /// The tool is selected: what comes next is read from the begin of after_swap.
    void select();
    /// Nothing where `text` (with slots, one line of the plan) may stand here.
    std::optional<Unfit> add(std::string_view text);
    /// Whether lines since `select` or the begin move, or say how numbers are read.
    [[nodiscard]] bool says_numbers() const noexcept { return says_numbers_; }
    [[nodiscard]] bool says_units() const noexcept { return says_units_; }

    /// What is left otherwise than a program finds it that has said nothing of it.
    struct Leftover {
        std::size_t line = 0;  ///< of those added, from 0
        Unfit why;
    };
    [[nodiscard]] std::optional<Leftover> leftover() const;

  private:
    std::optional<Unfit> add_command(const std::string& text);
    std::optional<Unfit> add_g(int code);
    std::optional<Unfit> add_m(int code);
    std::optional<Unfit> add_move();
    std::optional<Unfit> add_mode(int code);
    std::optional<Unfit> add_override(int code);
    [[nodiscard]] std::optional<Unfit> unfit_axis(const grammar::Word& word) const;
    [[nodiscard]] std::optional<Unfit> unfit_feed(const grammar::Word& word) const;
    [[nodiscard]] bool is_open(const grammar::Word& word) const;
    [[nodiscard]] bool is_listed(const std::vector<std::string>& list) const;

    const Machine& machine_;
    grammar::Line line_;
    std::string filled_;               ///< the line, a digit in place of each slot
    std::vector<std::uint32_t> open_;  ///< where these digits stand in it
    bool relative_ = false, inch_ = false;
    bool says_numbers_ = false, says_units_ = false;
    std::size_t count_ = 0;
    /// Lines that leave the fan running or an override other than 100 %, by what they set.
    std::map<std::string, std::size_t> left_;
};

}  // namespace durograde::plan
