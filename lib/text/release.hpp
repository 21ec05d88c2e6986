#pragma once

#include <memory>
#include <string>

#include "text/file.hpp"
#include "text/spool.hpp"

namespace durograde {

/// An output that is not there until it is complete. Bytes go to a spool beside the destination;
/// `release` makes it durable and puts it in the destination's place at once. Without `release`
/// nothing is left and nothing was touched.
class Release {
  public:
    /// Prepares for `path`, "-" for standard output. A symbolic link is followed, so that the link
    /// stays; a device or a pipe gets the bytes when they are complete. Throws Failure
    /// (Exit::cannot_create).
    explicit Release(const std::string& path);

    /// Takes the bytes.
    [[nodiscard]] Sink& sink() noexcept { return *sink_; }
    /// The complete bytes, at their begin, for reading back.
    [[nodiscard]] int rewound() const;
    [[nodiscard]] const std::string& name() const noexcept { return name_; }

    /// Throws Failure (Exit::io_error, Exit::cannot_create); the old destination is then untouched.
    void release();

  private:
    [[nodiscard]] int fd() const;

    std::string name_;
    std::unique_ptr<Spool> spool_;  ///< for a file
    File copy_;                     ///< for what gets a copy at the end
    std::unique_ptr<FileSink> sink_;
};

}  // namespace durograde
