#include "text/sink.hpp"

namespace durograde {

namespace {

/// Counts in bytes first: that is what the compiler turns into a few instructions for many bytes.
std::uint64_t count_line_feeds(std::string_view bytes) {
    std::uint64_t lines = 0;
    constexpr std::size_t block = 128;
    while (!bytes.empty()) {
        const std::string_view part = bytes.substr(0, block);
        std::uint8_t found = 0;
        for (const char byte : part)
            found = static_cast<std::uint8_t>(found + (byte == '\n' ? 1 : 0));
        lines += found;
        bytes.remove_prefix(part.size());
    }
    return lines;
}

}  // namespace

void CountingSink::write(std::string_view bytes) {
    if (bytes.empty()) return;
    bytes_ += bytes.size();
    lines_ += count_line_feeds(bytes);
    open_line_ = bytes.back() != '\n';
    if (next_ != nullptr) next_->write(bytes);
}

}  // namespace durograde
