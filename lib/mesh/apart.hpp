#pragma once

#include <cstddef>
#include <functional>
#include <string>
#include <variant>
#include <vector>

#include "mesh/triangles.hpp"

namespace durograde::mesh {

/// Points three by three, or what is wrong with the file that they should come from.
using Soup = std::variant<std::vector<Point>, std::string>;

/// What a reading may take: seconds, and memory beside what the process has already.
struct Allowance {
    unsigned seconds = 0;
    std::size_t memory_bytes = std::size_t{1} << 30U;
};

/// What `read` gives, run in a process of its own: libraries that read meshes have ended or never
/// ended on broken files. A child that dies, or takes more than `most`, is a broken file.
Soup read_apart(const std::function<Soup()>& read, const Allowance& most);

}  // namespace durograde::mesh
