#pragma once

#include <cstdint>
#include <string>
#include <utility>
#include <vector>

#include "line.hpp"
#include "text/line_source.hpp"

namespace durograde::grade {

/// A command that is a name, is not understood, and names a tool: it may select it.
struct ToolWord {
    std::string command;   ///< as its first line has it
    std::string spelling;  ///< with a slot in place of the tool: what the plan would say
    std::uint64_t first_line = 0;
    std::uint64_t lines = 0;
};

/// Notes such commands, each once. Of a program with very many different ones the first are kept.
class ToolWords {
  public:
    /// A line that is a command with a name.
    void see(const RawLine& raw, const grammar::Line& line);
    [[nodiscard]] std::vector<ToolWord> take() { return std::move(found_); }

  private:
    std::vector<ToolWord> found_;
};

}  // namespace durograde::grade
