#pragma once

#include <deque>

namespace durograde::grade {

/// How often the drive runs over one stretch of filament: a retraction takes back what was fed
/// last, and the restart feeds it again, so that soft filament is ground where little is printed
/// between one retraction and the next.
class FilamentWear {
  public:
    /// When `fed_mm` of filament, never less than the time before, have been printed in all, it is
    /// retracted from `from_mm` to `to_mm` behind that: a retraction begins where `from_mm` is 0,
    /// and may come in several moves. Of what lies farther back than 20 mm nothing is known.
    void draw(double fed_mm, double from_mm, double to_mm);

    [[nodiscard]] long retractions() const noexcept { return retractions_; }
    [[nodiscard]] double retracted_mm() const noexcept { return retracted_mm_; }
    /// The most retractions that any stretch of 0.1 mm has been through.
    [[nodiscard]] long most_of_a_stretch() const noexcept { return most_; }

  private:
    std::deque<long> passes_;  ///< of the stretches that later retractions may reach
    long first_ = 0;           ///< number of the first of them, counted from where printing began
    long retractions_ = 0, most_ = 0;
    double retracted_mm_ = 0.0;
};

}  // namespace durograde::grade
