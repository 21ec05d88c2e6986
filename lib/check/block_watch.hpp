#pragma once

#include <memory>

#include "check/act.hpp"
#include "check/card.hpp"
#include "check/ledger.hpp"
#include "check/precision.hpp"
#include "plan/plan.hpp"

namespace durograde::check {

/// The purge block: what is laid on it lies within it, at the height of the print, on a whole layer
/// of its own; and a tool that primes on it has done so before it prints. Part of "same beads".
class BlockWatch {
  public:
    /// Both must outlive the watch.
    BlockWatch(const plan::Plan& plan, double bead_mm, Ledger& ledger);

    /// True between the two lines that declare its beads.
    [[nodiscard]] bool is_open() const noexcept { return open_; }
    void begins(std::uint64_t output_line);
    void ends(std::uint64_t output_line);

    /// A bead between those lines, by the tool in use, which stands at `set_c`.
    void lay(const Act& bead, double set_c, bool drawn, const Precision& precision,
             std::uint64_t output_line);
    /// Another tool was taken, which has lost at least `lost_mm3` meanwhile.
    void swap(double lost_mm3) {
        swapped_ = true;
        primed_mm_ = 0.0;
        lost_mm3_ = lost_mm3;
    }
    /// A bead of the print itself.
    void print(const Act& bead, const plan::Tool* tool, const Precision& precision, Lines lines);
    void finish(std::uint64_t output_line);

  private:
    void fail(Measure by, Lines lines, const char* text) const;
    [[nodiscard]] bool is_within(const Point& point, double slack_mm) const;
    [[nodiscard]] bool is_whole() const;
    void begin_layer(double z_mm, Lines lines);

    const plan::Plan& plan_;
    double bead_mm_;
    Ledger& ledger_;
    std::unique_ptr<Card> curve_;
    bool open_ = false, begun_ = false, printed_ = false, swapped_ = false;
    double print_z_mm_ = 0.0;  ///< of the last bead of the print itself
    double below_z_mm_ = 0.0;  ///< of the layer of the print before that
    double primed_mm_ = 0.0;   ///< filament laid since the last swap
    double lost_mm3_ = 0.0;    ///< before that swap, by the tool in use
    // The block's present layer.
    double z_mm_ = 0.0, height_mm_ = 0.0, length_mm_ = 0.0;
    Point low_, high_;
};

}  // namespace durograde::check
