#include "text/file.hpp"

#include <fcntl.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <limits>
#include <utility>
#include <vector>

#include "text/diagnostic.hpp"

namespace durograde {
namespace {

Failure io_failure(const std::string& doing, const std::string& name) {
    return {Exit::io_error, Diagnostic{.code = "io-failed",
                                       .text = doing + " failed: " + std::strerror(errno),
                                       .mend = "check space and health of the disk, then run again",
                                       .place = {name, 0, 0}}};
}

}  // namespace

File& File::operator=(File&& other) noexcept {
    if (this != &other) {
        close();
        fd_ = other.release();
    }
    return *this;
}

int File::release() noexcept {
    return std::exchange(fd_, -1);
}

void File::close() noexcept {
    if (fd_ >= 0) ::close(std::exchange(fd_, -1));
}

void write_all(int fd, std::string_view bytes, const std::string& name) {
    while (!bytes.empty()) {
        const ssize_t count = ::write(fd, bytes.data(), bytes.size());
        if (count < 0 && errno == EINTR) continue;
        if (count < 0) throw io_failure("writing", name);
        bytes.remove_prefix(static_cast<std::size_t>(count));
    }
}

void FileSink::write(std::string_view bytes) {
    write_all(fd_, bytes, name_);
    written_ += static_cast<std::int64_t>(bytes.size());
    constexpr std::int64_t stretch = std::int64_t{8} << 20;
    if (written_ - started_ < stretch) return;
    // Only a hint: pipes and some file systems cannot, and need not.
    static_cast<void>(::sync_file_range(fd_, started_, written_ - started_, SYNC_FILE_RANGE_WRITE));
    started_ = written_;
}

void copy_some(int from, std::uint64_t most, Sink& to, const std::string& name) {
    std::vector<char> chunk(std::min<std::uint64_t>(most, std::uint64_t{1} << 18));
    while (most > 0) {
        const ssize_t count =
            ::read(from, chunk.data(), std::min<std::uint64_t>(most, chunk.size()));
        if (count < 0 && errno == EINTR) continue;
        if (count < 0) throw io_failure("reading", name);
        if (count == 0) return;
        to.write({chunk.data(), static_cast<std::size_t>(count)});
        most -= static_cast<std::uint64_t>(count);
    }
}

void copy_all(int from, Sink& to, const std::string& name) {
    copy_some(from, std::numeric_limits<std::uint64_t>::max(), to, name);
}

std::string temporary_folder() {
    const char* folder = std::getenv("TMPDIR");
    return folder != nullptr && *folder != '\0' ? folder : "/tmp";
}

File nameless_file(const std::string& folder) {
    int fd = ::open(folder.c_str(), O_TMPFILE | O_RDWR | O_CLOEXEC, 0600);
    if (fd < 0) {
        // Not every file system has nameless files: a name that is removed at once does as well.
        std::string name = folder + "/.durograde-XXXXXX";
        fd = ::mkostemp(name.data(), O_CLOEXEC);
        if (fd >= 0) ::unlink(name.c_str());
    }
    if (fd < 0) {
        throw Failure(Exit::cannot_create,
                      Diagnostic{.code = "cannot-create",
                                 .text = std::string("no temporary file can be made: ") +
                                         std::strerror(errno),
                                 .mend = "set TMPDIR to a folder that can be written",
                                 .place = {folder, 0, 0}});
    }
    return File(fd);
}

}  // namespace durograde
