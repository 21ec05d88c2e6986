#pragma once

#include <optional>
#include <string>

#include "check/coverage.hpp"
#include "check/ledger.hpp"

namespace durograde::check {

/// Right tool and right amount, and the feed: looks at every bead of the output beside the stretch
/// of the input that it lies on.
class BeadWatch {
  public:
    /// All arguments must outlive the watch. `layer` is filled anew from time to time.
    BeadWatch(const plan::Plan& plan, const Layer& layer, double zone_slack_mm, Ledger& ledger);

    /// Tool or set-point changed.
    void forget() { known_run_ = no_run; }
    void begin_piece() {
        forget();
        begins_ = true;
        in_doubt_.reset();
    }

    /// Returns the target that the bead counts as printed for.
    const Target& bead(const Match& match, const Act& act, int tool, double set_c,
                       const Precision& precision, Lines lines);

  private:
    static constexpr std::uint32_t no_run = 0xffffffff;

    Target judge_tool(const Match& match, const Act& act, int tool, double set_c,
                      const Precision& precision, Lines lines);
    [[nodiscard]] const Target& counts_as(const Match& match, const Act& act, int tool,
                                          double set_c) const;
    /// A bead along its stroke, and what it is printed with.
    struct Printed {
        double begin_mm = 0.0, end_mm = 0.0;
        int tool = 0;
        double set_c = 0.0;
        double slack_mm = 0.0;  ///< that it may reach beyond a boundary
    };
    void judge_run(const Stroke& stroke, std::uint32_t run, const Printed& bead, Lines lines);
    void judge_amount(const Match& match, const Act& act, const Target& target,
                      const Precision& precision, Lines lines);
    [[nodiscard]] bool is_feed_of(const Segment& segment, const Act& act, const Target& target,
                                  const Precision& precision) const;
    void judge_feed(const Segment& segment, const Act& act, const Target& target,
                    const Precision& precision, Lines lines);

    const plan::Plan& plan_;
    const Layer& layer_;
    double zone_slack_mm_, area_mm2_;
    Ledger& ledger_;
    /// An amount that is right only where the piece ends with it.
    struct Doubt {
        Measure off;  ///< mm of filament
        Lines lines;
        std::string text;
    };
    std::optional<Doubt> in_doubt_;
    bool begins_ = true;
    std::uint32_t known_run_ = no_run;
    Target known_target_;
};

}  // namespace durograde::check
