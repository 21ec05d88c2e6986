#include "plan/read_file.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <optional>
#include <string_view>
#include <system_error>
#include <utility>

namespace durograde::plan {
namespace {

/// An open file that is closed at the end of its scope.
class OpenFile {
  public:
    explicit OpenFile(int descriptor) : descriptor_(descriptor) {}
    OpenFile(const OpenFile&) = delete;
    OpenFile& operator=(const OpenFile&) = delete;
    ~OpenFile() {
        if (descriptor_ >= 0) ::close(descriptor_);
    }
    [[nodiscard]] int get() const { return descriptor_; }

  private:
    int descriptor_;
};

Unread from_errno(int error) {
    return {false, "cannot be read: " + std::generic_category().message(error),
            "check the name and the file's permissions"};
}

std::string kind_of(mode_t mode) {
    if (S_ISDIR(mode)) return "is a directory";
    if (S_ISFIFO(mode)) return "is a pipe";
    if (S_ISSOCK(mode)) return "is a socket";
    return "is a device";
}

/// What is to be read, and what is said where it cannot be.
struct Wanted {
    std::string_view name;  // with its article
    std::size_t limit = 0;  // bytes
    Unread too_large;
};

std::optional<Unread> unless_regular(const struct stat& status, const Wanted& wanted) {
    if (S_ISREG(status.st_mode)) return std::nullopt;
    return Unread{true, kind_of(status.st_mode) + ", not a regular file",
                  "give the name of " + std::string(wanted.name)};
}

std::variant<std::string, Unread> read_all(int descriptor, std::size_t expected,
                                           const Wanted& wanted) {
    // One byte more than there should be tells that there is more.
    std::string text(std::min(expected, wanted.limit) + 1, '\0');
    std::size_t size = 0;
    for (;;) {
        const ssize_t count = ::read(descriptor, text.data() + size, text.size() - size);
        if (count < 0 && errno == EINTR) continue;
        if (count < 0) return from_errno(errno);
        if (count == 0) break;
        size += static_cast<std::size_t>(count);
        if (size > wanted.limit) return wanted.too_large;
        if (size == text.size()) text.resize(std::min(2 * size, wanted.limit + 1));
    }
    text.resize(size);
    return text;
}

std::variant<std::string, Unread> read_file(const std::string& path, const Wanted& wanted) {
    struct stat status {};
    // Looked at before it is opened: opening alone makes some devices act.
    if (::stat(path.c_str(), &status) != 0) return from_errno(errno);
    if (auto fault = unless_regular(status, wanted)) return *std::move(fault);
    const OpenFile file(::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK | O_NOCTTY));
    if (file.get() < 0) return from_errno(errno);
    // And again after: something else may have taken its place meanwhile.
    if (::fstat(file.get(), &status) != 0) return from_errno(errno);
    if (auto fault = unless_regular(status, wanted)) return *std::move(fault);
    return read_all(file.get(), static_cast<std::size_t>(status.st_size), wanted);
}

}  // namespace

Unread plan_too_large() {
    return {true, "is larger than " + std::to_string(plan_size_limit) + " bytes",
            "a plan is a short text: check that this is one"};
}

std::variant<std::string, Unread> read_plan_file(const std::string& path) {
    return read_file(path, {"a plan file", plan_size_limit, plan_too_large()});
}

std::variant<std::string, Unread> read_mesh_file(const std::string& path) {
    return read_file(
        path, {"a mesh file",
               mesh_size_limit,
               {true, "is larger than " + std::to_string(mesh_size_limit) + " bytes",
                "export it with a coarser resolution: 0.01 mm is plenty, as binary STL or 3MF"}});
}

}  // namespace durograde::plan
