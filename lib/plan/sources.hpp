#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "plan/value.hpp"
#include "text/diagnostic.hpp"

namespace durograde::plan {

/// A spot as a person reads it.
struct Shown {
    Place place;
    std::string source_line;
};

/// The texts that a plan is made of: its files, and the overrides of the command line. Diagnostics
/// find the file, the line and the column in bytes here.
class Sources {
  public:
    /// Adds a file's text and returns its number.
    std::uint32_t add_file(std::string name, std::string text);
    /// Adds an override, "KEY=VALUE". It is named "--set KEY" and has no line numbers.
    std::uint32_t add_override(const std::string& key, std::string text);

    [[nodiscard]] std::string_view text(std::uint32_t source) const;
    /// Name of the file that holds `spot`; of the first one where that is an override.
    [[nodiscard]] const std::string& file(const Spot& spot) const;
    [[nodiscard]] const std::string& first_file() const { return sources_.front().name; }
    [[nodiscard]] Shown show(const Spot& spot) const;
    /// The place `offset` bytes into the string whose value is `content` and which begins at
    /// `spot`. Where escapes make the two differ, the place of the string.
    [[nodiscard]] Shown show_inside(const Spot& spot, std::string_view content,
                                    std::size_t offset) const;
    /// "file:line", to name a second place within a message.
    [[nodiscard]] std::string reference(const Spot& spot) const;

  private:
    struct Source {
        std::string name, text;
        bool has_lines = true;
        std::vector<std::size_t> line_starts;
    };

    void add(std::string name, std::string text, bool has_lines);
    [[nodiscard]] std::size_t offset_of(const Spot& spot) const;
    [[nodiscard]] Shown show_offset(const Source& source, std::size_t offset) const;

    std::vector<Source> sources_;
};

}  // namespace durograde::plan
