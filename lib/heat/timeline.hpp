#pragma once

#include <cstdint>
#include <deque>
#include <limits>
#include <string>
#include <vector>

#include "text/byte_buffer.hpp"
#include "text/sink.hpp"

namespace durograde::heat {

/// Output held back so that a command can still be put in before it is needed. Lines are appended
/// to `bytes`; `mark` notes a line boundary with the print time at which it is reached.
class Timeline {
  public:
    /// A line boundary of the output: how many bytes went before it, and when it is reached.
    struct Mark {
        std::uint64_t position = 0;
        double time_s = 0.0;
    };

    explicit Timeline(Sink& sink) : sink_(sink) {}

    [[nodiscard]] ByteBuffer& bytes() noexcept { return bytes_; }
    [[nodiscard]] std::uint64_t position() const noexcept { return released_ + bytes_.size(); }

    /// Notes that the present end is a line boundary, reached at `now_s`. Returns it.
    Mark mark(double now_s);

    /// Puts `lines` (whole lines) at the last mark not later than `at_s`, but not before `earliest`
    /// nor into what has been released; where that would be more than `most_early_s` too early, at
    /// the next one. Returns the mark that it took.
    Mark insert(double at_s, const Mark& earliest, std::string lines,
                double most_early_s = std::numeric_limits<double>::infinity());

    /// Passes on what is older than `before_s`, and more where the store grows past its limit.
    /// Returns the time up to which commands can no longer be put in.
    double release(double before_s);
    void release_all();

    /// The oldest place at which a command can still be put in.
    [[nodiscard]] Mark oldest() const;
    /// True where so much is held back that `release` will have to shorten the horizon.
    [[nodiscard]] bool is_crowded() const noexcept { return bytes_.size() > crowded_bytes; }

    /// From now on, places of the output are kept as it is passed on, at least `every_s` apart.
    void keep_places(double every_s) { place_every_s_ = every_s; }
    /// Line boundaries of what was passed on, as counted there, insertions included.
    [[nodiscard]] const std::vector<Mark>& places() const noexcept { return places_; }

    static constexpr std::size_t crowded_bytes = std::size_t{24} << 20;

  private:
    struct Insertion {
        std::uint64_t position = 0;
        std::string lines;
    };
    void pass_on(std::uint64_t position);
    void pass_on(const Mark& mark);
    void write(std::string_view bytes);

    Sink& sink_;
    ByteBuffer bytes_;
    std::uint64_t released_ = 0;  ///< bytes passed on, insertions not counted
    std::uint64_t written_ = 0;   ///< bytes passed on, insertions counted
    double place_every_s_ = std::numeric_limits<double>::infinity(), next_place_s_ = 0.0;
    std::vector<Mark> places_;
    std::deque<Mark> marks_;
    std::deque<Insertion> insertions_;  ///< by position; same position in the order they came
};

}  // namespace durograde::heat
