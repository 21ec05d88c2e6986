#pragma once

#include <optional>
#include <string_view>

namespace durograde::plan {

/// Why a line cannot stand in before_swap or after_swap, and what to do instead.
struct Unfit {
    std::string_view text, mend;
};

/// Nothing where `line` may stand around a swap: a comment, or one command, and none that moves,
/// heats, selects a tool or changes what the output then says itself.
std::optional<Unfit> unfit_around_swap(std::string_view line);

}  // namespace durograde::plan
