#pragma once

#include <array>
#include <cstdio>
#include <string>

namespace durograde::region {

/// Why the parts of a sheet cannot be told.
struct Misplaced {
    std::string code, text, mend;
};

/// A place on the bed as messages show it.
inline std::string shown(double x_mm, double y_mm) {
    std::array<char, 64> text{};
    std::snprintf(text.data(), text.size(), "x %.3f, y %.3f", x_mm, y_mm);
    return text.data();
}

}  // namespace durograde::region
