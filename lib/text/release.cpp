#include "text/release.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <climits>
#include <cstdlib>
#include <cstring>

#include "text/diagnostic.hpp"

namespace durograde {
namespace {

Failure failure(Exit exit, const std::string& path, const std::string& text) {
    return {exit, Diagnostic{.code = exit == Exit::io_error ? "io-failed" : "cannot-create",
                             .text = text,
                             .mend = "name an output in a folder that can be written and has space",
                             .place = {path, 0, 0}}};
}

std::string folder_of(const std::string& path) {
    const std::size_t slash = path.rfind('/');
    if (slash == std::string::npos) return ".";
    return slash == 0 ? "/" : path.substr(0, slash);
}

/// The file that `path` leads to through symbolic links, which need not exist yet.
std::string resolve(const std::string& path) {
    std::string at = path;
    for (int links = 0; links < 40; ++links) {
        std::array<char, PATH_MAX> to{};
        const ssize_t length = ::readlink(at.c_str(), to.data(), to.size() - 1);
        if (length < 0) return at;
        const std::string next(to.data(), static_cast<std::size_t>(length));
        at = next.starts_with('/') ? next : folder_of(at).append("/").append(next);
    }
    throw failure(Exit::cannot_create, path, "the symbolic link leads nowhere");
}

void sync_folder(const std::string& path) {
    const File folder(::open(folder_of(path).c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
    if (folder.is_open() && ::fsync(folder.fd()) == 0) return;
    throw failure(Exit::io_error, path,
                  std::string("the output is in place, but may not survive a power cut: ") +
                      std::strerror(errno));
}

}  // namespace

File Release::prepare(const std::string& path, std::string& target) {
    if (path == "-") return nameless_file(temporary_folder());
    const std::string resolved = resolve(path);
    struct stat status {};
    if (::stat(resolved.c_str(), &status) == 0) {
        if (S_ISDIR(status.st_mode)) throw failure(Exit::cannot_create, path, "it is a folder");
        if (!S_ISREG(status.st_mode)) return nameless_file(temporary_folder());
    }
    target = resolved;
    const std::string folder = folder_of(resolved);
    if (::access(folder.c_str(), W_OK | X_OK) != 0) {
        throw failure(Exit::cannot_create, path,
                      "the output cannot be created: " + std::string(std::strerror(errno)));
    }
    return nameless_file(folder);
}

Release::Release(const std::string& path)
    : name_(path == "-" ? "standard output" : path),
      spool_(prepare(path, target_)),
      sink_(spool_.fd(), name_) {
    if (path != "-" && target_.empty()) target_ = "";
}

int Release::rewound() const {
    ::lseek(spool_.fd(), 0, SEEK_SET);
    return spool_.fd();
}

void Release::release() {
    if (!target_.empty()) return rename_over();
    if (name_ == "standard output") {
        FileSink out(STDOUT_FILENO, name_);
        return copy_all(rewound(), out, name_);
    }
    const File device(::open(name_.c_str(), O_WRONLY | O_CLOEXEC));
    if (!device.is_open()) throw failure(Exit::cannot_create, name_, std::strerror(errno));
    FileSink out(device.fd(), name_);
    copy_all(rewound(), out, name_);
}

void Release::rename_over() {
    struct stat old {};
    mode_t mode = 0;
    if (::stat(target_.c_str(), &old) == 0) {
        mode = old.st_mode & 0777;
    } else {
        const mode_t mask = ::umask(0);
        ::umask(mask);
        mode = 0666 & ~mask;
    }
    if (::fchmod(spool_.fd(), mode) != 0 || ::fsync(spool_.fd()) != 0) {
        throw failure(Exit::io_error, name_,
                      std::string("the output is not on disk: ") + std::strerror(errno));
    }
    // A nameless file can be given a name, but not put over an existing one: that takes a second
    // step.
    const std::string interim = target_ + ".durograde-" + std::to_string(::getpid());
    const std::string self = "/proc/self/fd/" + std::to_string(spool_.fd());
    ::unlink(interim.c_str());
    if (::linkat(AT_FDCWD, self.c_str(), AT_FDCWD, interim.c_str(), AT_SYMLINK_FOLLOW) != 0) {
        throw failure(Exit::cannot_create, name_, std::strerror(errno));
    }
    if (::rename(interim.c_str(), target_.c_str()) != 0) {
        const int error = errno;
        ::unlink(interim.c_str());
        throw failure(Exit::cannot_create, name_, std::strerror(error));
    }
    sync_folder(target_);
}

}  // namespace durograde
