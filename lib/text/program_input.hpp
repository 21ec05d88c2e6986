#pragma once

#include <sys/types.h>

#include <cstdint>
#include <memory>
#include <string>

#include "text/digest.hpp"
#include "text/file.hpp"
#include "text/line_source.hpp"

namespace durograde {

/// A program to be read twice. A file is read from its own place; what comes through a pipe is kept
/// in a nameless temporary file on the first reading.
class ProgramInput {
  public:
    /// Opens `path`, "-" for standard input. Throws Failure (Exit::no_input).
    static ProgramInput open(const std::string& path);
    /// Takes an open file that stands at its begin. Throws Failure (Exit::no_input).
    static ProgramInput take(File file, std::string name);
    /// Text at hand, for tests and tools.
    static ProgramInput from_text(std::string_view text, std::string name);

    /// Lines for the first reading; call once.
    LineSource first_reading();
    /// Passes all bytes on, instead of a first reading.
    void copy_to(Sink& sink);
    /// Lines from the begin again, after the first reading came to its end.
    LineSource second_reading();
    /// A descriptor at the begin of the program, after the first reading.
    int rewound();
    /// A descriptor that can be read from the begin of the program, as often as needed, without a
    /// first reading: what comes through a pipe is kept first.
    int rewindable();

    /// Digest of all bytes, after the first reading came to its end.
    [[nodiscard]] std::string digest() const { return tap_->digest().hex(); }

    /// Throws Failure (Exit::io_error) where the file is no longer the one that was read first.
    void check_unchanged() const;

    [[nodiscard]] const std::string& name() const noexcept { return name_; }

  private:
    ProgramInput(File file, std::string name);

    struct Stamp {
        off_t size = 0;
        std::int64_t seconds = 0, nanoseconds = 0;
        friend bool operator==(const Stamp&, const Stamp&) = default;
    };
    [[nodiscard]] Stamp stamp() const;

    File file_, spool_;
    std::unique_ptr<FileSink> copy_;
    std::unique_ptr<DigestSink> tap_;  ///< sees the first reading
    std::string name_;
    bool is_regular_ = false;
    Stamp stamp_;
};

}  // namespace durograde
