#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "check/act.hpp"
#include "plan/plan.hpp"

namespace durograde::check {

/// The centre lines of the beads that the output has printed at one height, to tell what a way at
/// that height crosses.
class PrintedLines {
  public:
    PrintedLines(const plan::Range& x_mm, const plan::Range& y_mm);

    /// A bead was printed. One at another height is the first of those to come. Memory is reused
    /// from height to height.
    void print(const Act& bead);
    /// Whether a straight way crosses one of them, farther than `apart_mm` from both its ends.
    [[nodiscard]] bool are_crossed(const Point& from, const Point& to, double apart_mm) const;
    /// Of the beads, mm.
    [[nodiscard]] double height_mm() const noexcept { return z_mm_; }

  private:
    struct Line {
        Point from, to;
    };
    /// That a line passes a cell, and what passes it too.
    struct Entry {
        std::uint32_t line = 0;
        std::int32_t next = -1;
    };
    void clear();
    void add(const Line& line);
    template <typename Take>
    void for_cells(const Point& from, const Point& to, Take take) const;

    plan::Range x_mm_, y_mm_;
    std::size_t columns_, rows_;
    double z_mm_ = -1e9;
    std::vector<Line> lines_;
    std::vector<Entry> entries_;
    std::vector<std::int32_t> first_;     ///< by cell
    std::vector<std::uint32_t> touched_;  ///< cells with entries
};

}  // namespace durograde::check
