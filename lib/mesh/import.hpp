#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <variant>

#include "mesh/triangles.hpp"

namespace durograde::mesh {

inline constexpr std::size_t most_triangles = 2'000'000;

/// Why no surface came of a file's bytes.
struct NotImported {
    std::string text;  ///< what is wrong, following the file's name: "holds no triangles"
    std::string mend;
};

/// The triangles in the bytes of an STL (binary or text), OBJ, PLY or 3MF file, as `name` ends.
/// Polygons become triangles; all bodies of the file become one surface. Nothing but `bytes` is
/// read: what the file refers to is ignored. Coordinates are taken as mm and are finite.
std::variant<Triangles, NotImported> import(std::string_view bytes, const std::string& name);

}  // namespace durograde::mesh
