#include "text/line_source.hpp"

#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstring>

#include "text/diagnostic.hpp"

namespace durograde {
namespace {

constexpr std::size_t chunk_bytes = std::size_t{1} << 18;

Failure read_failure(const std::string& name) {
    return {Exit::io_error,
            Diagnostic{.code = "read-failed",
                       .text = std::string("reading failed: ") + std::strerror(errno),
                       .mend = "check the disk or the program that writes the pipe, then run again",
                       .place = {name, 0, 0}}};
}

/// Length of the line end that `text` closes with: CRs (255 bytes in all at most) before one LF, or
/// at the end of the input.
std::size_t ending_length(std::string_view text) {
    std::size_t length = !text.empty() && text.back() == '\n' ? 1 : 0;
    while (length < std::min<std::size_t>(text.size(), 255) &&
           text[text.size() - 1 - length] == '\r') {
        ++length;
    }
    return length;
}

}  // namespace

LineSource::LineSource(int fd, std::string name, Sink* copy)
    : fd_(fd), name_(std::move(name)), copy_(copy) {}

void LineSource::make_room() {
    if (capacity_ - filled_ >= chunk_bytes) return;
    const std::uint64_t first_needed = std::min(keep_from_, base_ + at_);
    const auto unused = static_cast<std::size_t>(first_needed - base_);
    const std::size_t live = filled_ - unused;
    if (live + chunk_bytes > capacity_ / 2) {
        const std::size_t capacity = 2 * (live + chunk_bytes);
        auto larger = std::make_unique_for_overwrite<char[]>(capacity);
        if (live > 0) std::memcpy(larger.get(), buffer_.get() + unused, live);
        buffer_ = std::move(larger);
        capacity_ = capacity;
    } else {
        std::memmove(buffer_.get(), buffer_.get() + unused, live);
    }
    base_ += unused;
    at_ -= unused;
    filled_ = live;
}

bool LineSource::fill() {
    if (ended_) return false;
    make_room();
    ssize_t count = 0;
    do {
        count = ::read(fd_, buffer_.get() + filled_, chunk_bytes);
    } while (count < 0 && errno == EINTR);
    if (count < 0) throw read_failure(name_);
    if (count == 0) {
        ended_ = true;
        return false;
    }
    if (copy_ != nullptr) {
        copy_->write({buffer_.get() + filled_, static_cast<std::size_t>(count)});
    }
    filled_ += static_cast<std::size_t>(count);
    return true;
}

bool LineSource::next(RawLine& line) {
    std::size_t searched = at_;
    const char* feed = nullptr;
    for (;;) {
        if (searched < filled_) {
            feed = static_cast<const char*>(
                std::memchr(buffer_.get() + searched, '\n', filled_ - searched));
        }
        if (feed != nullptr) break;
        const std::size_t pending = filled_ - at_;
        if (pending > line_length_limit) break;
        if (!fill()) break;
        searched = at_ + pending;
    }
    const char* const begin = buffer_.get() + at_;
    const std::size_t length =
        feed != nullptr ? static_cast<std::size_t>(feed + 1 - begin) : filled_ - at_;
    if (length == 0) return false;
    line.number = ++lines_;
    if (length > line_length_limit) {
        throw Failure(Exit::bad_input, Diagnostic{.code = "line-too-long",
                                                  .text = "this line is longer than 1 MiB",
                                                  .mend = "give a text program, one command a line",
                                                  .place = {name_, lines_, 1}});
    }
    const std::string_view whole(begin, length);
    const std::size_t ending = ending_length(whole);
    line.text = whole.substr(0, length - ending);
    line.ending = whole.substr(length - ending);
    line.offset = base_ + at_;
    at_ += length;
    return true;
}

}  // namespace durograde
