#include "text/spool.hpp"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <filesystem>
#include <system_error>

#include "text/diagnostic.hpp"

namespace durograde {
namespace {

constexpr int most_attempts = 1000;

/// What may be otherwise at the next try, whatever the path.
bool is_passing(int error) {
    return error == EIO || error == EAGAIN || error == ENOMEM || error == EMFILE || error == ENFILE;
}

Failure cannot_create(const std::string& path, int error) {
    return {is_passing(error) ? Exit::io_error : Exit::cannot_create,
            Diagnostic{.code = "cannot-create",
                       .text = std::string("the output cannot be created: ") + std::strerror(error),
                       .mend = "name an output in a folder that can be written and has space",
                       .place = {path, 0, 0}}};
}

Failure io_failed(const std::string& path, const std::string& text, int error) {
    return {Exit::io_error, Diagnostic{.code = "io-failed",
                                       .text = text + std::strerror(error),
                                       .mend = "check space and health of the disk, then run again",
                                       .place = {path, 0, 0}}};
}

/// What interim names begin with: short, so that it fits where the target's own name just does.
constexpr std::string_view interim_stem = ".durograde-spool-";

/// Removes `path` if no living process holds it. Where locks do not work it stays.
void remove_if_left(const std::string& path) {
    const File file(::open(path.c_str(), O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC));
    struct stat status {};
    if (!file.is_open() || ::fstat(file.fd(), &status) != 0 || !S_ISREG(status.st_mode)) return;
    if (::flock(file.fd(), LOCK_EX | LOCK_NB) == 0) ::unlink(path.c_str());
}

void remove_left(const std::string& target) {
    namespace fs = std::filesystem;
    std::error_code error;
    fs::directory_iterator at(folder_of(target), error);
    if (error == std::errc::permission_denied) return;  // a folder that may be written alone
    for (; !error && at != fs::directory_iterator(); at.increment(error)) {
        if (at->path().filename().native().starts_with(interim_stem)) remove_if_left(at->path());
    }
    if (error) throw io_failed(target, "the folder cannot be read: ", error.value());
}

/// Rights as those of what stands at `target`: its owner, where the process may give files away
/// (root), else its group alone; its mode. Where nothing stands there, as the process makes files.
bool take_rights(int fd, const std::string& target) {
    struct stat old {};
    if (::stat(target.c_str(), &old) != 0) {
        const mode_t mask = ::umask(0);
        ::umask(mask);
        return ::fchmod(fd, 0666 & ~mask) == 0;
    }
    constexpr uid_t same_owner = static_cast<uid_t>(-1);
    // Who may not, cannot help it; and some file systems know no owners.
    if (::fchown(fd, old.st_uid, old.st_gid) != 0)
        static_cast<void>(::fchown(fd, same_owner, old.st_gid) == 0);
    return ::fchmod(fd, old.st_mode & 0777) == 0;
}

}  // namespace

std::string folder_of(const std::string& path) {
    const std::size_t slash = path.rfind('/');
    if (slash == std::string::npos) return ".";
    return slash == 0 ? "/" : path.substr(0, slash);
}

Spool::Spool(std::string target) : target_(std::move(target)) {
    if (::access(folder_of(target_).c_str(), W_OK | X_OK) != 0) throw cannot_create(target_, errno);
    remove_left(target_);
    open_nameless();
    if (!file_.is_open()) open_named();
    // Held until the process ends. Where locks do not work, leftovers stay.
    static_cast<void>(::flock(file_.fd(), LOCK_EX));
}

Spool::~Spool() {
    drop_old();
    if (!interim_.empty()) ::unlink(interim_.c_str());
}

std::string Spool::interim_name(int attempt) const {
    std::string name = folder_of(target_) + "/" + std::string(interim_stem);
    name += std::to_string(::getpid());
    return attempt == 0 ? name : name + "-" + std::to_string(attempt);
}

void Spool::open_nameless() {
    file_ = File(::open(folder_of(target_).c_str(), O_TMPFILE | O_RDWR | O_CLOEXEC, 0600));
}

/// For file systems without nameless files: those of memory cards, and many that are shared.
void Spool::open_named() {
    for (int attempt = 0; attempt < most_attempts; ++attempt) {
        const std::string name = interim_name(attempt);
        File file(::open(name.c_str(), O_CREAT | O_EXCL | O_RDWR | O_CLOEXEC, 0600));
        if (!file.is_open() && errno == EEXIST) continue;
        if (!file.is_open()) throw cannot_create(target_, errno);
        static_cast<void>(::flock(file.fd(), LOCK_EX));
        struct stat status {};
        // Before it was locked another run may have taken it for a leftover.
        if (::fstat(file.fd(), &status) != 0 || status.st_nlink == 0) continue;
        file_ = std::move(file);
        interim_ = name;
        return;
    }
    throw cannot_create(target_, EEXIST);
}

/// A nameless file can be given a name, but not put over an existing one: that takes a second step.
void Spool::give_name() {
    const std::string self = "/proc/self/fd/" + std::to_string(file_.fd());
    for (int attempt = 0; attempt < most_attempts; ++attempt) {
        const std::string name = interim_name(attempt);
        if (::linkat(AT_FDCWD, self.c_str(), AT_FDCWD, name.c_str(), AT_SYMLINK_FOLLOW) == 0) {
            interim_ = name;
            return;
        }
        if (errno != EEXIST) throw cannot_create(target_, errno);
    }
    throw cannot_create(target_, EEXIST);
}

void Spool::put_in_place() {
    prepare();
    replace();
    settle();
}

bool Spool::put_beside() {
    prepare();
    if (::link(interim_.c_str(), target_.c_str()) == 0) {
        ::unlink(interim_.c_str());
    } else if (errno != EEXIST) {
        // Memory cards know no second names.
        constexpr unsigned keep_existing = RENAME_NOREPLACE;
        const int result =
            ::renameat2(AT_FDCWD, interim_.c_str(), AT_FDCWD, target_.c_str(), keep_existing);
        if (result != 0 && errno == EEXIST) return false;
        if (result != 0) throw cannot_create(target_, errno);
    } else {
        return false;
    }
    interim_.clear();
    settle();
    return true;
}

void Spool::prepare() {
    if (is_prepared_) return;
    // A failed fsync is not tried again: the kernel may then take what is lost for written.
    if (!take_rights(file_.fd(), target_) || ::fsync(file_.fd()) != 0)
        throw io_failed(target_, "the output is not on disk: ", errno);
    if (interim_.empty()) give_name();
    is_prepared_ = true;
}

void Spool::keep_old() {
    old_file_ = File(::open(target_.c_str(), O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC));
    was_absent_ = !old_file_.is_open() && errno == ENOENT;
    if (old_file_.is_open()) static_cast<void>(::flock(old_file_.fd(), LOCK_EX | LOCK_NB));
    if (was_absent_) return;
    const std::string name = interim_ + "-old";
    if (::link(target_.c_str(), name.c_str()) == 0) old_ = name;
}

void Spool::set_old_aside() {
    old_file_ = File(::open(target_.c_str(), O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC));
    if (old_file_.is_open()) static_cast<void>(::flock(old_file_.fd(), LOCK_EX | LOCK_NB));
    const std::string name = interim_ + "-old";
    if (::rename(target_.c_str(), name.c_str()) == 0) {
        old_ = name;
        sync_folder();
    } else if (errno != ENOENT) {
        throw cannot_create(target_, errno);
    }
}

void Spool::put_old_back() noexcept {
    if (!old_.empty() && ::rename(old_.c_str(), target_.c_str()) == 0) old_.clear();
}

void Spool::drop_old() noexcept {
    if (!old_.empty()) ::unlink(old_.c_str());
    old_.clear();
    old_file_.close();
}

void Spool::replace() {
    if (::rename(interim_.c_str(), target_.c_str()) != 0) throw cannot_create(target_, errno);
    interim_.clear();
}

bool Spool::take_back() noexcept {
    if (was_absent_) return ::unlink(target_.c_str()) == 0;
    if (old_.empty() || ::rename(old_.c_str(), target_.c_str()) != 0) return false;
    old_.clear();
    return true;
}

void Spool::sync_folder() const noexcept {
    const File folder(::open(folder_of(target_).c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
    if (folder.is_open()) static_cast<void>(::fsync(folder.fd()));
}

void Spool::settle() {
    drop_old();
    const File folder(::open(folder_of(target_).c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
    if (folder.is_open() && ::fsync(folder.fd()) == 0) return;
    throw io_failed(target_, "the output is in place, but may not survive a power cut: ", errno);
}

}  // namespace durograde
