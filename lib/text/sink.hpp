#pragma once

#include <cstdint>
#include <string_view>

namespace durograde {

/// Takes bytes in chunks.
class Sink {
  public:
    Sink() = default;
    Sink(const Sink&) = delete;
    Sink& operator=(const Sink&) = delete;
    virtual ~Sink() = default;
    virtual void write(std::string_view bytes) = 0;
};

/// Passes bytes on, if there is somewhere to, and counts bytes and lines.
class CountingSink final : public Sink {
  public:
    explicit CountingSink(Sink* next) : next_(next) {}
    void write(std::string_view bytes) override;
    [[nodiscard]] std::uint64_t bytes() const noexcept { return bytes_; }
    [[nodiscard]] std::uint64_t lines() const noexcept { return lines_ + (open_line_ ? 1 : 0); }
    /// The last line has no line end yet.
    [[nodiscard]] bool has_open_line() const noexcept { return open_line_; }

  private:
    Sink* next_;
    std::uint64_t bytes_ = 0, lines_ = 0;
    bool open_line_ = false;
};

}  // namespace durograde
