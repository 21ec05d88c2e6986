#pragma once

#include <string>

#include "text/file.hpp"

namespace durograde {

/// The folder that holds `path`.
std::string folder_of(const std::string& path);

/// A file beside a destination that takes the destination's place when it is complete. It has no
/// name until then, where the file system can do that, else an interim one. It is locked as long as
/// its process lives: what a killed run left behind has no lock, and the next run removes it.
class Spool {
  public:
    /// Prepares for `target`, a file that may be there or not, and removes what killed runs left
    /// beside it. Throws Failure (Exit::cannot_create).
    explicit Spool(std::string target);
    Spool(const Spool&) = delete;
    Spool& operator=(const Spool&) = delete;
    ~Spool();

    [[nodiscard]] int fd() const noexcept { return file_.fd(); }

    /// Makes all bytes durable, then puts them in the target's place at once, with the mode that
    /// the target has. Throws Failure (Exit::io_error, Exit::cannot_create); the old target is then
    /// untouched, except where only the folder could not be made durable: the message says so.
    void put_in_place();

  private:
    void open_nameless();
    void open_named();
    void give_name();
    [[nodiscard]] std::string interim_name(int attempt) const;

    std::string target_, interim_;  ///< `interim_` is empty as long as there is no name
    File file_;
};

}  // namespace durograde
