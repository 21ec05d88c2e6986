#pragma once

#include <string_view>

#include "mesh/apart.hpp"

namespace durograde::mesh {

/// The triangles of an STL file, three points each, or what is wrong with it, following the file's
/// name. Binary: 80 bytes, a 32-bit count, then 50 bytes a triangle, all little-endian; some begin
/// with "solid" too. Text: `solid … facet normal … outer loop, three vertices, endloop endfacet …
/// endsolid`. Normals are not looked at: the order of corners tells them (common practice, no
/// source).
Soup read_stl(std::string_view bytes);

}  // namespace durograde::mesh
