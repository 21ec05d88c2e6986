/// @file
/// A small random source that gives the same numbers on every machine and compiler, which the
/// distributions of the standard library do not promise.
#pragma once

#include <cstdint>

namespace durograde::sheets {

/// Splitmix64: 64 bits of state, every seed good, a handful of integer operations a number.
class Random {
  public:
    explicit Random(std::uint64_t seed) : state_(seed) {}

    /// The next 64 random bits.
    std::uint64_t next() {
        state_ += 0x9E3779B97F4A7C15ULL;
        std::uint64_t bits = state_;
        bits = (bits ^ (bits >> 30U)) * 0xBF58476D1CE4E5B9ULL;
        bits = (bits ^ (bits >> 27U)) * 0x94D049BB133111EBULL;
        return bits ^ (bits >> 31U);
    }

    /// A whole number from `lowest` to `highest`, both included. The ranges used here are so much
    /// smaller than 2^64 that the bias of the remainder is of no account.
    int between(int lowest, int highest) {
        const auto count = static_cast<std::uint64_t>(highest - lowest) + 1U;
        return lowest + static_cast<int>(next() % count);
    }

    /// True in `percent` of a hundred calls.
    bool chance(int percent) { return between(0, 99) < percent; }

    /// A multiple of `step` from `lowest * step` to `highest * step`.
    double stepped(int lowest, int highest, double step) { return between(lowest, highest) * step; }

  private:
    std::uint64_t state_;
};

}  // namespace durograde::sheets
