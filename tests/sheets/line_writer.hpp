/// @file
/// Lines of a program in a sheet's dialect: blanks, case, numbers, line numbers, checksums, line
/// ends. It knows nothing of what the lines mean.
#pragma once

#include <cstdint>
#include <functional>
#include <string>
#include <string_view>

#include "style.hpp"

namespace durograde::sheets {

/// Takes the bytes of a sheet in big chunks, in order.
using Sink = std::function<void(std::string_view)>;

/// Builds lines in one buffer and hands them on when it is full; a number costs no allocation.
class LineWriter {
  public:
    LineWriter(const Style& style, Sink sink);

    /// A whole command with single blanks between its words, brought into the dialect.
    void command(std::string_view text, std::string_view comment = {});

    /// A line as it stands, without a number.
    void verbatim(std::string_view text);

    /// A comment on a line of its own.
    void comment(std::string_view text);

    /// Begins a move by `G code`, which is left out where moves are modal and the last had it too.
    void begin_move(int code);

    /// A word of the line begun: `value` counts units of the last of `decimals` decimals.
    void word(char letter, std::int64_t value, int decimals);

    /// Ends the line begun.
    void end_line(std::string_view comment = {});

    /// Hands on what is left. Nothing may be written afterwards.
    void finish();

  private:
    void begin_line();
    void add_blank();
    void add_letter(char letter);
    void add_number(std::int64_t value, int decimals);
    void add_checksum();
    void add_newline();

    const Style& style_;
    Sink sink_;
    std::string buffer_;
    std::size_t line_at_ = 0;   ///< where the line begun starts in the buffer
    std::size_t words_at_ = 0;  ///< where its words start, after the line number
    std::int64_t line_number_ = 0;
    int last_code_ = -1;  ///< of the last move
};

}  // namespace durograde::sheets
