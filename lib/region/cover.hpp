#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "program/span.hpp"
#include "region/footprint.hpp"

namespace durograde::region {

/// How much of a way lies over no bead, mm.
struct OpenAir {
    double longest_mm = 0.0;  ///< single stretch
    double total_mm = 0.0;
};

/// What the beads of one layer cover, as bits on a grid: where a travel crosses open air.
class Cover {
  public:
    /// The longest stretch of open air may be told shorter than it is by this: what lies between
    /// two of the places that are looked at, here and by the checker.
    static constexpr double slack_mm = 0.2;

    /// Paints all strokes of `span`, half a bead wide to either side of their centre lines. Memory
    /// is reused from call to call. `footprint` tells parts apart and must outlive this.
    void paint(const program::Span& span, double bead_mm, const Footprint& footprint);

    /// The stretches of the way along `path` that lie over no bead. Those narrower than three
    /// beads, such as between the beads of sparse infill, are no open air within one part.
    [[nodiscard]] OpenAir open_air(std::span<const program::Point> path) const;
    /// The same for a straight way.
    [[nodiscard]] OpenAir open_air(const program::Point& from, const program::Point& to) const;
    /// Whether a bead lies at a place for certain: on its centre line, or between beads side by
    /// side.
    [[nodiscard]] bool surely_covers(const program::Point& at) const noexcept {
        return covers(sure_, at.x, at.y);
    }
    /// How far it is from a place to the nearest that nothing covers, mm, as far as `most_mm`.
    [[nodiscard]] double room_mm(const program::Point& at, double most_mm) const;
    /// A bead from `from` to `to` is printed: it could be hit from now on.
    void print(const program::Point& from, const program::Point& to);
    /// Whether the way from `from` to `to` crosses what is printed, the bead at either end aside.
    [[nodiscard]] bool hits(const program::Point& from, const program::Point& to) const;
    /// The longest single stretch, and what the grid may hide of it: it covers more than the beads
    /// do, the longer the flatter the way crosses their edges or runs beside them.
    [[nodiscard]] double longest_mm(std::span<const program::Point> path) const;

  private:
    using Bits = std::vector<std::uint64_t>;
    void fit(const program::Span& span);
    void paint_line(Bits& bits, const program::Point& from, const program::Point& to) const;
    void widen(int cells);
    void widen_once();
    void find_sure(int cells);
    template <typename Take>
    static void for_places(std::span<const program::Point> path, Take take);
    [[nodiscard]] bool covers(const Bits& bits, double x_mm, double y_mm) const noexcept;
    [[nodiscard]] bool is_one_part(const program::Point& a, const program::Point& b) const;

    double low_x_ = 0.0, low_y_ = 0.0, bead_mm_ = 0.0;
    std::size_t words_ = 0, rows_ = 0;  ///< 64 columns a word
    Bits bits_;                         ///< all that half a bead may reach
    Bits sure_;     ///< cells with a centre line, and what lies between beads side by side
    Bits printed_;  ///< cells with a centre line that is printed by now
    Bits other_;
    const Footprint* footprint_ = nullptr;
};

}  // namespace durograde::region
