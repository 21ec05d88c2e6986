#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <string_view>

#include "text/sink.hpp"

namespace durograde {

inline constexpr std::size_t line_length_limit = std::size_t{1} << 20;  ///< bytes, end included

/// One line as it stands in the input. The views live until the next call of `LineSource::next`.
struct RawLine {
    std::string_view text;     ///< without the line end
    std::string_view ending;   ///< "\n", "\r\n", "\r\r\n", or empty at the end of the input
    std::uint64_t offset = 0;  ///< of the first byte in the input
    std::uint64_t number = 0;  ///< from 1

    [[nodiscard]] std::uint64_t end_offset() const noexcept {
        return offset + text.size() + ending.size();
    }
};

/// Lines of a file descriptor, read in chunks through one buffer: no allocation per line. Bytes
/// from `keep_from` on stay readable by their offset, so that a layer's text needs no copy.
class LineSource {
  public:
    /// Reads from `fd` (not owned) from its present position. `name` is for messages. Where `copy`
    /// is given, every byte read is written there too, so that a pipe can be read a second time.
    LineSource(int fd, std::string name, Sink* copy = nullptr);

    /// The next line, or false at the end. Throws Failure: Exit::io_error where reading fails,
    /// Exit::bad_input where a line is longer than `line_length_limit`.
    bool next(RawLine& line);

    /// Bytes before `offset` are no longer needed.
    void keep_from(std::uint64_t offset) noexcept { keep_from_ = offset; }

    /// Bytes that were read and kept. Valid until the next call of `next`.
    [[nodiscard]] std::string_view bytes(std::uint64_t offset, std::size_t count) const noexcept {
        return {buffer_.get() + (offset - base_), count};
    }
    [[nodiscard]] const std::string& name() const noexcept { return name_; }

  private:
    bool fill();
    void make_room();

    int fd_;
    std::string name_;
    Sink* copy_;
    std::unique_ptr<char[]> buffer_;
    std::size_t capacity_ = 0, filled_ = 0, at_ = 0;
    std::uint64_t base_ = 0;  ///< input offset of buffer_[0]
    std::uint64_t keep_from_ = 0;
    std::uint64_t lines_ = 0;
    bool ended_ = false;
};

}  // namespace durograde
