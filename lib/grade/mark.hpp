#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "plan/plan.hpp"
#include "plan/set_points.hpp"
#include "text/digest.hpp"
#include "text/line_source.hpp"

/// What a graded program says of itself, in comments: its first lines tell that it was graded, by
/// which plan and from which program, its last line that nothing of it is missing.
namespace durograde::grade {

/// How the program's own lines are written.
struct MarkStyle {
    std::string_view line_end;
    bool has_byte_order_mark = false;
};

/// Lines of head and foot together.
inline constexpr std::uint64_t mark_lines = 4;

/// True where `text`, the begin of a program, is a graded one's.
bool is_marked(std::string_view text);

/// The first lines of a program that `plan` grades from the one with this digest.
std::string mark_head(const plan::Plan& plan, const std::string& input_digest,
                      const MarkStyle& style);
/// What the zones of `plan` that ask for a hardness are given: a line each, zones counted from 1,
/// by which anybody can tell whether other set-points would have done better.
/// Those of its gradient, if any, follow.
std::string mark_answers(const plan::Plan& plan, std::span<const plan::GradientStep> steps,
                         const MarkStyle& style);
/// The last line, after `lines` whole lines that `digest` has seen.
std::string mark_foot(std::uint64_t lines, const Digest& digest, const MarkStyle& style);

/// A graded program's mark as read back.
struct Mark {
    std::string plan_digest, input_digest;
    bool is_whole = false;  ///< the last line stands there and fits all before it
};

/// Reads all of `source`; nothing where it is no graded program. Throws Failure as LineSource does.
std::optional<Mark> read_mark(LineSource& source);

}  // namespace durograde::grade
