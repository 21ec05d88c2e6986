#pragma once

#include <cstddef>
#include <string>
#include <variant>

namespace durograde::plan {

inline constexpr std::size_t plan_size_limit = 262144;       ///< bytes of one file: 256 KiB
inline constexpr std::size_t mesh_size_limit = 128U << 20U;  ///< bytes: 128 MiB

/// Why a file was not read.
struct Unread {
    bool exists = true;  ///< false: nothing can be opened there
    std::string text;    ///< what is wrong, following the file's name: "is a directory"
    std::string mend;
};

/// What is said of a text beyond the limit.
Unread plan_too_large();

/// The whole text of a plan file. Reads regular files only, never waits
/// for a writer (as opening a pipe would), never reads more than the limit.
std::variant<std::string, Unread> read_plan_file(const std::string& path);

/// The same for a mesh, of at most `mesh_size_limit` bytes.
std::variant<std::string, Unread> read_mesh_file(const std::string& path);

}  // namespace durograde::plan
