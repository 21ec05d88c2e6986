#pragma once

#include <cstdint>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

namespace durograde {

/// Exit statuses of the program, after BSD sysexits.h. A failure carries the one that it ends with.
enum class Exit : int {
    done = 0,
    usage = 64,          ///< the command line is wrong
    bad_input = 65,      ///< the program to be graded cannot be graded
    no_input = 66,       ///< the input cannot be read
    check_failed = 70,   ///< our own proof of the output failed, nothing was released
    cannot_create = 73,  ///< the output cannot be created
    io_error = 74,       ///< reading or writing failed on the way
    busy = 75,           ///< somebody holds the job, or means are short: try again later
    bad_plan = 78,       ///< the plan is wrong
};

/// A place in a text file. Lines and columns count from 1 (columns in bytes); 0 means unknown.
struct Place {
    std::string file = {};
    std::uint64_t line = 0;
    std::uint64_t column = 0;
};

enum class Severity { error, warning };

/// What is wrong, where, and how fix. Data only: `format` turns it into text.
struct Diagnostic {
    std::string code;  ///< stable and short, such as "unknown-key"
    Severity severity = Severity::error;
    std::string text;              ///< what was found, in one sentence
    std::string mend = {};         ///< what to do about it; may be empty
    Place place = {};              ///< where, as far as known
    std::string source_line = {};  ///< the line at `place`, shown with a caret; may be empty
};

/// Text of one diagnostic for a person: "file:line:column: error: text [code]", the line with a
/// caret below the column, and the remedy. Bytes that a terminal could act on are shown as '?'; a
/// long line is shown around the place only.
std::string format(const Diagnostic& diagnostic);

/// Thrown at the edges for what the user must see. It ends the program with `exit`.
class Failure : public std::runtime_error {
  public:
    Failure(Exit exit, Diagnostic diagnostic);
    Failure(Exit exit, std::vector<Diagnostic> diagnostics);

    [[nodiscard]] Exit exit() const noexcept { return exit_; }
    [[nodiscard]] const std::vector<Diagnostic>& diagnostics() const noexcept {
        return diagnostics_;
    }

  private:
    Exit exit_;
    std::vector<Diagnostic> diagnostics_;
};

/// The known word closest to `word` by edit distance (insert, delete, replace, swap of
/// neighbours), or an empty view where none is near enough to be what was meant.
std::string_view nearest(std::string_view word, const std::vector<std::string_view>& known);

}  // namespace durograde
