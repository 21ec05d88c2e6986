#pragma once

#include <algorithm>

#include "check/act.hpp"
#include "line.hpp"

namespace durograde::check {

/// With how many decimals a program's moves are written.
struct Decimals {
    int xy = 0, z = 0, e = 0, f = 0;

    /// Takes the words of one move into account.
    void note(const grammar::Line& line) {
        for (std::uint32_t i = 0; i < line.word_count; ++i) {
            const int decimals = line.words[i].decimals;
            switch (line.words[i].letter) {
                case 'X':
                case 'Y':
                    xy = std::max(xy, decimals);
                    break;
                case 'Z':
                    z = std::max(z, decimals);
                    break;
                case 'E':
                    e = std::max(e, decimals);
                    break;
                case 'F':
                    f = std::max(f, decimals);
                    break;
                default:
                    break;
            }
        }
    }
};

/// One unit of the last decimal that new numbers are written with, in mm: what rounding may move.
/// The input's own decimals, within what the plan's format promises (at least 3 in mm, 4 in inches;
/// E two more).
struct Precision {
    double xy_mm = 1e-3, z_mm = 1e-3, e_mm = 1e-5, feed_mm_min = 1.0;

    static Precision of(const Decimals& decimals, const Frame& frame) {
        const auto unit = [](int digits, int least, int most) {
            double value = 1.0;
            for (int i = std::clamp(digits, least, most); i > 0; --i) value /= 10.0;
            return value;
        };
        const int coarse = frame.inch ? 4 : 3;
        return {unit(decimals.xy, coarse, 6) * frame.unit_mm(),
                unit(decimals.z, coarse, 6) * frame.unit_mm(),
                unit(decimals.e, coarse + 2, 8) * frame.e_unit_mm(),
                unit(decimals.f, frame.inch ? 2 : 0, 4) * frame.unit_mm()};
    }
};

}  // namespace durograde::check
