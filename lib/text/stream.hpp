#pragma once

#include <atomic>
#include <mutex>
#include <string>

#include "text/file.hpp"

namespace durograde {

/// Passes bytes on to a destination as they come, and keeps a copy. Only whole lines leave: a line
/// that was cut would be another command. The last one stays until more comes or all is finished:
/// it may say that the program is complete.
class Stream final : public Sink {
  public:
    /// To `path`, "-" for standard output, else a device or a pipe. Throws Failure (Exit::usage)
    /// for a file, which is to be put in its place whole, and Exit::cannot_create.
    Stream(const std::string& path, Sink& copy);

    void write(std::string_view bytes) override;
    /// All is there: what is left leaves too.
    void finish();
    /// It ends here. Where something has left already and it is not finished, `last_lines` end it.
    /// Another thread may call this at any time: the line that is leaving leaves whole, and whoever
    /// writes on waits for the end of the process.
    void abandon(std::string_view last_lines);

    [[nodiscard]] const std::string& name() const noexcept { return name_; }

  private:
    static File open(const std::string& path);
    std::unique_lock<std::mutex> wait_for_turn();
    void let_leave(std::string_view lines);

    std::string name_;
    File own_;
    FileSink destination_;
    Sink& copy_;
    std::string last_line_;  ///< held back, whole or not
    std::mutex leaving_;
    std::atomic<bool> is_abandoned_ = false;
    bool has_left_ = false, is_finished_ = false;  ///< under `leaving_`
};

}  // namespace durograde
