#pragma once

#include <cstddef>
#include <cstring>
#include <memory>
#include <string_view>

namespace durograde {

/// A growing run of bytes for the hot path: `room` gives raw space without filling it first,
/// `commit` keeps what was written there. Bytes at the front are dropped cheaply.
class ByteBuffer {
  public:
    /// Space for `count` bytes after the end. Invalidated by the next call.
    char* room(std::size_t count) {
        if (end_ + count > capacity_) grow(count);
        return bytes_.get() + end_;
    }
    void commit(std::size_t count) noexcept { end_ += count; }
    void commit_to(const char* end) noexcept {
        end_ = static_cast<std::size_t>(end - bytes_.get());
    }

    void append(std::string_view text) {
        if (text.empty()) return;
        std::memcpy(room(text.size()), text.data(), text.size());
        commit(text.size());
    }
    void append(char byte) {
        *room(1) = byte;
        commit(1);
    }

    [[nodiscard]] std::string_view view() const noexcept {
        return {bytes_.get() + begin_, end_ - begin_};
    }
    [[nodiscard]] std::size_t size() const noexcept { return end_ - begin_; }
    void drop_front(std::size_t count) noexcept { begin_ += count; }
    void clear() noexcept { begin_ = end_ = 0; }

  private:
    /// Moves the live bytes to the front, into a larger block where they need one.
    void grow(std::size_t count) {
        const std::size_t live = size();
        if (live + count > capacity_ / 2) {
            const std::size_t capacity = 2 * (live + count) + 4096;
            auto larger = std::make_unique_for_overwrite<char[]>(capacity);
            if (live > 0) std::memcpy(larger.get(), bytes_.get() + begin_, live);
            bytes_ = std::move(larger);
            capacity_ = capacity;
        } else {
            std::memmove(bytes_.get(), bytes_.get() + begin_, live);
        }
        begin_ = 0;
        end_ = live;
    }

    std::unique_ptr<char[]> bytes_;
    std::size_t capacity_ = 0, begin_ = 0, end_ = 0;
};

}  // namespace durograde
