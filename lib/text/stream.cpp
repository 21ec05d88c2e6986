#include "text/stream.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <chrono>
#include <cstring>
#include <thread>
#include <utility>

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

/// Turns are short, so that a program that is to be ended ends soon; and who has abandoned it comes
/// next.
std::unique_lock<std::mutex> Stream::wait_for_turn() {
    std::unique_lock lock(leaving_);
    while (is_abandoned_) {
        lock.unlock();
        std::this_thread::sleep_for(std::chrono::seconds(1));
        lock.lock();
    }
    return lock;
}

/// What was held back, and whole lines behind it, a few at a time.
void Stream::let_leave(std::string_view lines) {
    constexpr std::size_t at_a_time = 4096;  // a pipe takes as much at once
    do {
        const std::size_t last = lines.rfind('\n', at_a_time - 1);
        const std::size_t end = last != std::string_view::npos ? last : lines.find('\n');
        const auto lock = wait_for_turn();
        destination_.write(std::exchange(last_line_, {}));
        destination_.write(lines.substr(0, end + 1));
        lines.remove_prefix(end + 1);
        has_left_ = true;
    } while (!lines.empty());
}

void Stream::write(std::string_view bytes) {
    copy_.write(bytes);
    if (bytes.empty()) return;
    const std::string_view before_last_byte = bytes.substr(0, bytes.size() - 1);
    const std::size_t last_line = before_last_byte.rfind('\n') + 1;  // 0 where there is none before
    if (last_line > 0 || last_line_.ends_with('\n')) let_leave(bytes.substr(0, last_line));
    last_line_.append(bytes.substr(last_line));
}

void Stream::finish() {
    const auto lock = wait_for_turn();
    destination_.write(std::exchange(last_line_, {}));
    is_finished_ = true;
}

void Stream::abandon(std::string_view last_lines) {
    const bool is_first = !is_abandoned_.exchange(true);
    const std::lock_guard lock(leaving_);  // also where another thread writes the last lines
    if (is_first && has_left_ && !is_finished_) destination_.write(last_lines);
}

}  // namespace durograde
