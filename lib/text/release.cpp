#include "text/release.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <charconv>
#include <climits>
#include <cstring>
#include <filesystem>
#include <optional>
#include <system_error>

#include "text/diagnostic.hpp"

namespace durograde {
namespace {

Failure cannot_create(const std::string& path, const std::string& text) {
    return {Exit::cannot_create,
            Diagnostic{.code = "cannot-create",
                       .text = text,
                       .mend = "name an output in a folder that can be written and has space",
                       .place = {path, 0, 0}}};
}

/// Something that is there and is no file: it can only be written into.
bool is_device(const std::string& path) {
    struct stat status {};
    if (::stat(path.c_str(), &status) != 0) return false;
    if (S_ISDIR(status.st_mode)) throw cannot_create(path, "it is a folder");
    return !S_ISREG(status.st_mode);
}

/// Where `path` leads through symbolic links, step by step, until `visit` has seen enough or there
/// are no more.
template <typename Visit>
std::string follow_links(const std::string& path, Visit&& visit) {
    std::string at = path;
    for (int links = 0; links < 40; ++links) {
        if (visit(at)) return at;
        std::array<char, PATH_MAX> to{};
        const ssize_t length = ::readlink(at.c_str(), to.data(), to.size() - 1);
        if (length < 0) return at;
        const std::string next(to.data(), static_cast<std::size_t>(length));
        at = next.starts_with('/') ? next : folder_of(at).append("/").append(next);
    }
    throw cannot_create(path, "the symbolic link leads nowhere");
}

/// The number of an open descriptor of this process that `path` is a name of: /dev/stdout,
/// /dev/fd/3, /proc/self/fd/3. What is written there goes on where the descriptor stands; the file
/// behind it is not ours to replace.
std::optional<int> descriptor_of(const std::string& path) {
    namespace fs = std::filesystem;
    std::error_code error;
    const fs::path descriptors = fs::canonical("/proc/self/fd", error);
    if (error) return std::nullopt;
    std::optional<int> found;
    follow_links(path, [&](const std::string& at) {
        std::error_code none;
        if (fs::canonical(folder_of(at), none) != descriptors || none) return false;
        const std::string_view name = std::string_view(at).substr(at.rfind('/') + 1);
        int number = -1;
        const auto [end, code] = std::from_chars(name.data(), name.data() + name.size(), number);
        if (code != std::errc() || end != name.data() + name.size()) return false;
        if (::fcntl(number, F_GETFD) >= 0) found = number;
        return found.has_value();
    });
    return found;
}

/// The first one is in its place. Where the second cannot be, neither is the first, if that can be.
void replace_second(Spool& first, Spool& second, const std::string& first_name) {
    try {
        second.replace();
    } catch (const Failure& failure) {
        if (first.take_back()) throw;
        Diagnostic told = failure.diagnostics().front();
        told.text += "; " + first_name + " stands in its place already";
        throw Failure(failure.exit(), std::move(told));
    }
}

}  // namespace

std::string resolve_links(const std::string& path) {
    return follow_links(path, [](const std::string&) { return false; });
}

Release::Release(const std::string& path) : name_(path == "-" ? "standard output" : path) {
    if (path == "-") {
        descriptor_ = STDOUT_FILENO;
    } else if (const auto open = descriptor_of(path)) {
        descriptor_ = *open;
    }
    if (descriptor_ >= 0 || is_device(path)) {
        copy_ = nameless_file(temporary_folder());
    } else {
        spool_ = std::make_unique<Spool>(resolve_links(path));
    }
    sink_ = std::make_unique<FileSink>(fd(), name_);
}

int Release::fd() const {
    return spool_ ? spool_->fd() : copy_.fd();
}

int Release::rewound() const {
    ::lseek(fd(), 0, SEEK_SET);
    return fd();
}

void Release::release() {
    spool_ ? spool_->put_in_place() : copy_out();
}

void Release::prepare() {
    if (spool_) spool_->prepare();
}

bool Release::release_beside() {
    if (!spool_) return false;
    return spool_->put_beside();
}

void Release::release_both(Release& first, Release& second) {
    for (Release* one : {&first, &second}) one->prepare();
    if (second.spool_) second.spool_->set_old_aside();
    try {
        for (Release* one : {&second, &first})
            if (!one->spool_) one->copy_out();
        if (first.spool_) {
            first.spool_->keep_old();
            first.spool_->replace();
        }
        if (first.spool_ && second.spool_) {
            first.spool_->sync_folder();
            replace_second(*first.spool_, *second.spool_, first.name_);
        } else if (second.spool_) {
            second.spool_->replace();
        }
    } catch (const Failure&) {
        if (second.spool_) second.spool_->put_old_back();
        throw;
    }
    for (Release* one : {&first, &second})
        if (one->spool_) one->spool_->settle();
}

void Release::copy_out() {
    if (descriptor_ >= 0) {
        FileSink out(descriptor_, name_);
        return copy_all(rewound(), out, name_);
    }
    const File device(::open(name_.c_str(), O_WRONLY | O_CLOEXEC));
    if (!device.is_open()) throw cannot_create(name_, std::strerror(errno));
    FileSink out(device.fd(), name_);
    copy_all(rewound(), out, name_);
}

}  // namespace durograde
