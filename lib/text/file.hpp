#pragma once

#include <cstdint>
#include <string>

#include "text/sink.hpp"

namespace durograde {

/// An open file descriptor, closed with its owner.
class File {
  public:
    File() = default;
    explicit File(int fd) noexcept : fd_(fd) {}
    File(File&& other) noexcept : fd_(other.release()) {}
    File& operator=(File&& other) noexcept;
    ~File() { close(); }

    [[nodiscard]] int fd() const noexcept { return fd_; }
    [[nodiscard]] bool is_open() const noexcept { return fd_ >= 0; }
    int release() noexcept;
    void close() noexcept;

  private:
    int fd_ = -1;
};

/// Writes all of `bytes`, short writes and interruptions included. Throws Failure (Exit::io_error).
void write_all(int fd, std::string_view bytes, const std::string& name);

/// Copies `from` (named `name`, from its present position to its end) to `to`. Throws Failure
/// (Exit::io_error).
void copy_all(int from, Sink& to, const std::string& name);

/// Copies the next `count` bytes of `from`, or all that are left. Throws Failure (Exit::io_error).
void copy_some(int from, std::uint64_t count, Sink& to, const std::string& name);

/// A nameless file in the folder for temporary files. Throws Failure (Exit::cannot_create).
File nameless_file(const std::string& folder);
std::string temporary_folder();

/// Writes to a file descriptor that somebody else owns. The disk is set to work on the way, so that
/// little is left to wait for when all must be on it.
class FileSink final : public Sink {
  public:
    FileSink(int fd, std::string name) : fd_(fd), name_(std::move(name)) {}
    void write(std::string_view bytes) override;

  private:
    int fd_;
    std::string name_;
    std::int64_t written_ = 0, started_ = 0;  ///< bytes, and how many of them the disk works on
};

}  // namespace durograde
