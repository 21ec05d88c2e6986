#pragma once

#include <cstddef>
#include <cstdint>
#include <unordered_map>
#include <vector>

#include "check/act.hpp"

namespace durograde::check {

/// The centre lines of the beads that the output has printed at one height, to tell what a way at
/// that height crosses.
class PrintedLines {
  public:
    /// A bead was printed. One at another height is the first of those to come.
    void print(const Act& bead);
    /// Whether a straight way crosses one of them, farther than `apart_mm` from both its ends.
    [[nodiscard]] bool are_crossed(const Point& from, const Point& to, double apart_mm) const;
    /// Of the beads, mm.
    [[nodiscard]] double height_mm() const noexcept { return z_mm_; }

  private:
    struct Line {
        Point from, to;
    };
    void add(const Line& line);
    template <typename Take>
    static void for_cells(const Point& from, const Point& to, Take take);

    double z_mm_ = -1e9;
    std::vector<Line> lines_;
    std::unordered_map<std::uint64_t, std::vector<std::uint32_t>> by_cell_;
};

}  // namespace durograde::check
