#pragma once

#include <cstddef>
#include <random>
#include <string>
#include <string_view>
#include <vector>

namespace durograde::fuzz {

/// Changes a text line by line, so that most of what comes out still means something: lines are
/// dropped, doubled, swapped, moved and added, a number or a letter in one is changed. The same for
/// the same seed.
class LineMutator {
  public:
    explicit LineMutator(unsigned seed) : random_(seed) {}

    /// One change to `text`. `words` are lines worth adding.
    std::string change(std::string_view text, const std::vector<std::string_view>& words);
    /// `text` with a stretch of lines of `other` put in.
    std::string splice(std::string_view text, std::string_view other);
    /// A number from 0 to `below` - 1.
    std::size_t pick(std::size_t below);

  private:
    using Lines = std::vector<std::string>;
    void change_lines(Lines& lines);
    void change_line(std::string& line);
    void change_number(std::string& line);
    void change_letter(std::string& line);
    void drop_word(std::string& line);

    std::minstd_rand random_;
};

/// Lines of a program that change how others are read, and lines of a plan.
const std::vector<std::string_view>& program_words();
const std::vector<std::string_view>& plan_words();

}  // namespace durograde::fuzz
