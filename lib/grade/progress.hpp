#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <string_view>

#include "heat/timeline.hpp"
#include "line.hpp"
#include "text/sink.hpp"

namespace durograde::grade {

/// How a program states its progress (M73; common practice, no source): with which of P and Q
/// (percent), R and S (minutes left). Controllers with two print modes take Q and S for the second.
class ProgressStyle {
  public:
    /// Takes an M73 line of the input into account.
    void see(const grammar::Line& line);
    /// Whether the program states progress at all.
    [[nodiscard]] bool any() const noexcept { return letters_ != 0; }
    /// "M73 P12 R45", with the letters that the input used.
    [[nodiscard]] std::string line(int percent, long minutes_left) const;

  private:
    std::uint32_t letters_ = 0;
};

/// Copies the program in `fd` to `sink` and states its progress at those of `places` at which it
/// has changed. `total_s` is the time of the whole. Returns the number of lines put in. Throws
/// Failure (Exit::io_error).
std::uint64_t state_progress(int fd, std::span<const heat::Timeline::Mark> places, double total_s,
                             const ProgressStyle& style, std::string_view line_end, Sink& sink);

}  // namespace durograde::grade
