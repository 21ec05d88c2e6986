#pragma once

#include <cstdint>
#include <string>

#include "line.hpp"
#include "text/byte_buffer.hpp"
#include "text/sink.hpp"

namespace durograde::program {

/// Makes line numbers and checksums anew, in the order in which lines leave. Lines without a
/// command stay as they are. A line that sets the count (M110) is kept and counted from.
class Numbering final : public Sink {
  public:
    /// `first` is the number of the first command; `checksums` whether lines carry one.
    Numbering(Sink& next, std::int64_t first, bool checksums);

    /// Takes whole lines; an unfinished one waits for its end.
    void write(std::string_view bytes) override;
    /// Writes a last line that has no line end.
    void finish();

  private:
    void write_line(std::string_view text, std::string_view ending);
    void write_numbered(std::string_view body, std::string_view comment);

    Sink& next_;
    std::int64_t number_;
    bool checksums_;
    grammar::Line line_;
    std::string partial_;
    ByteBuffer out_;
};

}  // namespace durograde::program
