#pragma once

#include <cstdint>
#include <vector>

#include "check/fit.hpp"
#include "check/layer.hpp"
#include "check/ledger.hpp"
#include "check/precision.hpp"
#include "check/segment_index.hpp"

namespace durograde::check {

/// The stretch of an input segment that a bead of the output lies on.
struct Match {
    std::uint32_t segment = 0;
    double from = 0.0, to = 1.0;  ///< shares of its length
    bool found = false;
    bool reversed = false;   ///< the bead runs from `to` to `from`
    bool elsewhere = false;  ///< on the other side of a line that nothing may move across
    double off_mm = 0.0;     ///< from the segment's line
};

/// How the output prints: what tells beads over each other apart.
struct Manner {
    static constexpr double any_fan = -1.0;  ///< the tool has a range of its own
    int tool = 0;
    double set_c = 0.0;          ///< 0: unknown
    std::uint64_t settings = 0;  ///< mark
    int label = -1;
    double fan_duty = any_fan;
    bool slows = false;     ///< the tool has a largest flow: feeds may be lowered
    bool steadies = false;  ///< some zone has a band for its flow: they may be changed
};

/// Keeps account of which input segments of one layer the output has extruded, and finds the one
/// that a bead of the output lies on. Beads mostly come in the order of the input: what follows the
/// last match is tried first.
class Coverage {
  public:
    /// Where `reverses`, beads may run from their end to their begin.
    Coverage(Layer& layer, bool reverses, Ledger& ledger)
        : layer_(layer), reverses_(reverses), ledger_(ledger) {}

    /// The layer was filled anew.
    void begin();

    /// Segments [first, last) are what may be extruded now: what lies between two pins.
    void open_span(std::uint32_t first, std::uint32_t last);

    /// The beads that follow are printed like this.
    void use(const Manner& manner) { manner_ = manner; }

    /// True where the last segment was just extruded.
    [[nodiscard]] bool is_done() const { return next_ >= layer_.segments.size(); }

    /// Finds the stretch that `bead` lies on, marks it as extruded, and says so.
    Match match(const Act& bead, const Precision& precision, std::uint64_t output_line);

    /// The stretch that `last` goes on with along its stroke, where `move` passes over it and it
    /// has not been extruded.
    [[nodiscard]] Match pass_over(const Act& move, const Match& last,
                                  const Precision& precision) const;
    /// That stretch counts as extruded.
    void cover(const Match& match);

    /// The layer is done: writes down what of it was never extruded.
    void settle(const Precision& precision, std::uint64_t output_line);

  private:
    static constexpr std::int32_t bare = 0, whole = -1;  // above 0: index into stretches_, plus one

    /// An extruded stretch of a segment, as shares of its length.
    struct Stretch {
        double from = 0.0, to = 0.0;
        std::int32_t next = 0;
    };
    [[nodiscard]] bool is_next_whole(const Act& bead, const Precision& precision) const;
    [[nodiscard]] bool is_free(const Segment& segment, double from, double to, double slack) const;
    [[nodiscard]] int rank(std::uint32_t index, const Fit& fit, const Act& bead,
                           const Precision& precision) const;
    [[nodiscard]] bool is_made_for(std::uint32_t index, const Fit& fit, const Act& bead,
                                   const Precision& precision) const;
    [[nodiscard]] bool stands_alike(std::uint32_t index, const Act& bead,
                                    const Precision& precision) const;
    [[nodiscard]] double uncovered_share(const Segment& segment, double slack) const;
    [[nodiscard]] Match pass_over(const Act& move, std::uint32_t index, bool reversed,
                                  const Precision& precision) const;
    Match search(const Act& bead, const Precision& precision, bool& twice);

    Layer& layer_;
    bool reverses_;
    Ledger& ledger_;
    SegmentIndex index_;
    bool indexed_ = false;
    std::vector<Stretch> stretches_;
    /// The segment after the last match, in its direction, or that one where it was cut.
    std::uint32_t next_ = 0;
    std::uint32_t span_first_ = 0, span_last_ = 0;
    Manner manner_;
};

}  // namespace durograde::check
