#pragma once

#include <vector>

#include "grade/pieces.hpp"

namespace durograde::grade {

/// The ways along what was printed last, without lifting the nozzle between, as far as a wipe goes:
/// the span may be gone when they are needed.
class WipePath {
  public:
    /// `piece` was printed; `goes_on` where it began at the end of the one before. Nothing is kept
    /// for a wipe of no length.
    void add(const program::Span& span, const Piece& piece, bool goes_on, double length_mm);
    /// The same of a bead that stands as the input has it.
    void add(const program::Step& bead, double length_mm);
    void clear();

    [[nodiscard]] bool empty() const noexcept { return back_.empty(); }
    /// Where the last bead ended.
    [[nodiscard]] const program::Point& end() const noexcept { return end_; }
    /// The corners of the way to wipe along from there: back the way that the nozzle came, or,
    /// where that closed, on over where it began, so that it leaves no second end at the seam.
    [[nodiscard]] const std::vector<program::Point>& way() const;
    /// Whether a straight move keeps within `reach_mm` of that way.
    [[nodiscard]] bool holds(const program::Point& from, const program::Point& to,
                             double reach_mm) const;

  private:
    /// `follow(backwards, left_mm, corners)` adds the corners of what was printed, from its end
    /// backwards or from its begin on, until that many mm are used up.
    template <typename Follow>
    void add(const program::Point& begin, const program::Point& end, bool goes_on, double length_mm,
             const Follow& follow);

    std::vector<program::Point> back_, before_, onward_;
    program::Point begin_, end_;
    double onward_mm_ = 0.0;
};

}  // namespace durograde::grade
