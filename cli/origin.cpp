#include "origin.hpp"

#include <sys/types.h>
#include <sys/xattr.h>

#include <array>
#include <climits>
#include <filesystem>

namespace durograde::cli {
namespace {

constexpr const char* attribute = "user.durograde.job";

}  // namespace

std::string origin_path(const Job& job) {
    std::error_code error;
    const auto path = std::filesystem::canonical(job.path(), error);
    return error ? job.path() : path.string();
}

void note_origin(int output_fd, const Job& job) {
    const std::string path = origin_path(job);
    // Where it cannot be kept, the digests decide.
    static_cast<void>(::fsetxattr(output_fd, attribute, path.data(), path.size(), 0));
}

std::string origin_of(const std::string& output) {
    std::array<char, PATH_MAX> path{};
    const ssize_t size = ::getxattr(output.c_str(), attribute, path.data(), path.size());
    return size < 0 ? std::string() : std::string(path.data(), static_cast<std::size_t>(size));
}

}  // namespace durograde::cli
