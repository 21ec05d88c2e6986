#pragma once

#include <string>

#include "text/file.hpp"

namespace durograde {

/// Passes bytes on to a destination as they come, and keeps a copy. Only whole lines leave: a line
/// that was cut would be another command.
class Stream final : public Sink {
  public:
    /// To `path`, "-" for standard output, else a device or a pipe. Throws Failure (Exit::usage)
    /// for a file, which is to be put in its place whole, and Exit::cannot_create.
    Stream(const std::string& path, Sink& copy);

    void write(std::string_view bytes) override;
    /// All is there: what is left leaves too.
    void finish();
    /// It ends here. Where something has left already, `last_lines` end it.
    void abandon(std::string_view last_lines);

    [[nodiscard]] const std::string& name() const noexcept { return name_; }

  private:
    static File open(const std::string& path);

    std::string name_;
    File own_;
    FileSink destination_;
    Sink& copy_;
    std::string open_line_;
    bool has_left_ = false;
};

}  // namespace durograde
