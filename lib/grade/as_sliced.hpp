#pragma once

#include "grade/open_air.hpp"
#include "grade/work.hpp"

namespace durograde::grade {

/// What the program does between its beads as it was sliced, to be held against what it does when
/// it is graded.
class AsSliced {
  public:
    /// Takes the travels and retractions of the next span; its beads are painted and cut.
    void add(const Work& work);

    [[nodiscard]] const OpenAirAccount& open_air() const noexcept { return open_air_; }
    /// Ways from one stroke to the next on which filament is retracted.
    [[nodiscard]] long retractions() const noexcept { return retractions_; }

  private:
    void add_items(const Work& work, std::uint32_t first, std::uint32_t last);

    OpenAirAccount open_air_;
    Origin origin_;
    bool has_bead_ = false;  ///< before the first, nothing hangs on the nozzle that could string
    long retractions_ = 0;
};

}  // namespace durograde::grade
