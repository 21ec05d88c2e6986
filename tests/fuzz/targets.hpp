#pragma once

#include <stdexcept>
#include <string_view>

/// What may be thrown at durograde, and what must hold whatever it is. Each function takes any
/// bytes; a promise that does not hold ends in `Broken`, everything else passes in silence. The
/// fuzzers throw new bytes at them, the test program what was found before.
namespace durograde::fuzz {

/// A promise that does not hold, and the story.
class Broken : public std::logic_error {
  public:
    using std::logic_error::logic_error;
};

/// Throws `Broken` unless `holds`.
inline void promise(bool holds, const char* story) {
    if (!holds) throw Broken(story);
}

/// Lines of a program: words lie inside their line and mean what they say, reading is the same
/// twice and in pieces of any size.
void try_lines(std::string_view bytes);

/// A condition: it parses or is refused at a place; its margin changes no faster than it says.
void try_condition(std::string_view bytes);

/// A plan: it loads, the same twice, or is refused with a code, a place and a remedy.
void try_plan(std::string_view bytes);

/// The line between the two texts of a chain.
inline constexpr std::string_view program_follows = "--- program ---\n";

/// A plan, the line `program_follows`, and a program: it is graded (some the same twice), and the
/// checker holds the output to be right; or it is refused with a code, a file and a remedy.
void try_chain(std::string_view bytes);

}  // namespace durograde::fuzz
