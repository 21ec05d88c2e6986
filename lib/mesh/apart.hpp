#pragma once

#include <functional>
#include <string>
#include <variant>
#include <vector>

#include "mesh/triangles.hpp"

namespace durograde::mesh {

/// Points three by three, or what is wrong with the file that they should come from.
using Soup = std::variant<std::vector<Point>, std::string>;

/// What `read` gives, run in a process of its own: libraries that read meshes have ended or never
/// ended on broken files. A child that dies, or takes longer than `longest_s`, is a broken file.
Soup read_apart(const std::function<Soup()>& read, unsigned longest_s);

}  // namespace durograde::mesh
