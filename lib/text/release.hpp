#pragma once

#include <memory>
#include <string>

#include "text/file.hpp"
#include "text/spool.hpp"

namespace durograde {

/// The file that `path` leads to through symbolic links, which need not exist yet. Throws Failure
/// (Exit::cannot_create) where they lead nowhere.
std::string resolve_links(const std::string& path);

/// An output that is not there until it is complete. Bytes go to a spool beside the destination;
/// `release` makes it durable and puts it in the destination's place at once. Without `release`
/// nothing is left and nothing was touched.
class Release {
  public:
    /// Prepares for `path`, "-" for standard output. A symbolic link is followed, so that the link
    /// stays; a device, a pipe or an open descriptor (/dev/stdout, /dev/fd/3) gets the bytes when
    /// they are complete, the latter where it stands. Throws Failure (Exit::cannot_create).
    explicit Release(const std::string& path);

    /// Takes the bytes.
    [[nodiscard]] Sink& sink() noexcept { return *sink_; }
    /// The complete bytes, at their begin, for reading back.
    [[nodiscard]] int rewound() const;
    [[nodiscard]] const std::string& name() const noexcept { return name_; }

    /// Throws Failure (Exit::io_error, Exit::cannot_create); the old destination is then untouched.
    void release();
    /// Makes a file's bytes durable beforehand, so that `release` has little left to do. Throws
    /// Failure as it does.
    void prepare();
    /// `release` where nothing may be replaced: false where something stands at the destination.
    [[nodiscard]] bool release_beside();

    /// Both or none: what fails for want of space or rights fails before either is in its place.
    /// Bytes that have gone into a pipe or a device cannot be taken back; they are what is tried
    /// first, those of `second` before those of `first`. Throws Failure as `release` does; where
    /// one of two files has been put in its place and the other cannot be, the first is taken back,
    /// or, where the file system keeps no second names, the message says that it stands. Whenever
    /// the process is killed, a file that stands at `second` tells of the one that stands at
    /// `first`: the old one is taken away before and the new one put there behind.
    static void release_both(Release& first, Release& second);

  private:
    void copy_out();
    [[nodiscard]] int fd() const;

    std::string name_;
    std::unique_ptr<Spool> spool_;  ///< for a file
    File copy_;                     ///< for what gets a copy at the end
    int descriptor_ = -1;           ///< open already, where there is one that gets it
    std::unique_ptr<FileSink> sink_;
};

}  // namespace durograde
