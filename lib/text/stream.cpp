#include "text/stream.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>

#include "text/diagnostic.hpp"

namespace durograde {

File Stream::open(const std::string& path) {
    if (path == "-") return {};
    struct stat status {};
    const bool is_there = ::stat(path.c_str(), &status) == 0;
    if (!is_there || S_ISREG(status.st_mode) || S_ISDIR(status.st_mode)) {
        throw Failure(Exit::usage,
                      Diagnostic{.code = "stream-to-file",
                                 .text = "--stream writes to standard output, a pipe or a device",
                                 .mend = "leave out --stream: a file is put in its place whole",
                                 .place = {path, 0, 0}});
    }
    File file(::open(path.c_str(), O_WRONLY | O_CLOEXEC));
    if (file.is_open()) return file;
    throw Failure(Exit::cannot_create, Diagnostic{.code = "cannot-create",
                                                  .text = std::strerror(errno),
                                                  .mend = "name an output that can be written",
                                                  .place = {path, 0, 0}});
}

Stream::Stream(const std::string& path, Sink& copy)
    : name_(path == "-" ? "standard output" : path),
      own_(open(path)),
      destination_(own_.is_open() ? own_.fd() : STDOUT_FILENO, name_),
      copy_(copy) {}

void Stream::write(std::string_view bytes) {
    copy_.write(bytes);
    const std::size_t whole = bytes.rfind('\n') + 1;  // 0 where there is none
    if (whole > 0) {
        if (!open_line_.empty()) destination_.write(open_line_);
        open_line_.clear();
        destination_.write(bytes.substr(0, whole));
        has_left_ = true;
    }
    open_line_.append(bytes.substr(whole));
}

void Stream::finish() {
    destination_.write(open_line_);
    open_line_.clear();
}

void Stream::abandon(std::string_view last_lines) {
    if (has_left_) destination_.write(last_lines);
}

}  // namespace durograde
