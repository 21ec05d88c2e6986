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

    /// Makes all bytes durable, then puts them in the target's place at once, with the mode, the
    /// group and the owner that the target has, as far as the process may give files away. Throws
    /// Failure (Exit::io_error, Exit::cannot_create); the old target is then untouched, except
    /// where only the folder could not be made durable: the message says so.
    void put_in_place();
    /// The same where nothing may be replaced: false where a file of that name stands.
    [[nodiscard]] bool put_beside();

    // The steps of `put_in_place`, for those who put several files in place or none.
    /// All that may fail for want of space or rights. Throws Failure.
    void prepare();
    /// Keeps hold of what stands at the target, so that `take_back` can put it back.
    void keep_old();
    /// Takes what stands at the target away, so that nothing does, until `put_old_back`. Throws
    /// Failure.
    void set_old_aside();
    void put_old_back() noexcept;
    void replace();
    /// Undoes `replace`. False where the file system could not keep the old one.
    [[nodiscard]] bool take_back() noexcept;
    /// Makes the folder durable; throws where that fails, though the target is in place.
    void settle();
    /// Lets what comes later not become durable before, where the file system can do that.
    void sync_folder() const noexcept;

  private:
    void drop_old() noexcept;
    void open_nameless();
    void open_named();
    void give_name();
    [[nodiscard]] std::string interim_name(int attempt) const;

    std::string target_, interim_;  ///< `interim_` is empty as long as there is no name
    std::string old_;               ///< second name of what stood at the target
    File file_, old_file_;          ///< locked, so that no other run sweeps them up
    bool is_prepared_ = false, was_absent_ = false;
};

}  // namespace durograde
