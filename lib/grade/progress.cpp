#include "grade/progress.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <cmath>

#include "text/file.hpp"

namespace durograde::grade {
namespace {

constexpr std::string_view known_letters = "PQRS";

struct Progress {
    int percent = 0;
    long minutes_left = 0;
    friend bool operator==(const Progress&, const Progress&) = default;
};

Progress progress_at(double time_s, double total_s) {
    const double share = total_s > 0 ? std::clamp(time_s / total_s, 0.0, 1.0) : 1.0;
    return {static_cast<int>(share * 100.0), std::lround(std::max(0.0, total_s - time_s) / 60.0)};
}

}  // namespace

void ProgressStyle::see(const grammar::Line& line) {
    for (std::uint32_t i = 1; i < line.word_count; ++i) {
        const std::size_t letter = known_letters.find(line.words[i].letter);
        if (letter != std::string_view::npos) letters_ |= 1U << letter;
    }
}

std::string ProgressStyle::line(int percent, long minutes_left) const {
    std::string text = "M73";
    for (std::size_t i = 0; i < known_letters.size(); ++i) {
        if ((letters_ >> i & 1U) == 0) continue;
        text += fmt::format(" {}{}", known_letters[i], i < 2 ? percent : minutes_left);
    }
    return text;
}

std::uint64_t state_progress(int fd, std::span<const heat::Timeline::Mark> places, double total_s,
                             const ProgressStyle& style, std::string_view line_end, Sink& sink) {
    std::uint64_t lines = 0, at = 0;
    Progress said{-1, -1};
    CountingSink out(&sink);
    const auto say = [&](const Progress& now) {
        if (now == said) return;
        said = now;
        // The program's last line may have no end.
        if (out.has_open_line()) out.write(line_end);
        out.write(style.line(now.percent, now.minutes_left).append(line_end));
        ++lines;
    };
    ::lseek(fd, 0, SEEK_SET);
    for (const heat::Timeline::Mark& place : places) {
        const Progress now = progress_at(place.time_s, total_s);
        if (now == said) continue;
        copy_some(fd, place.position - at, out, "temporary file");
        at = place.position;
        say(now);
    }
    copy_all(fd, out, "temporary file");
    say({100, 0});
    return lines;
}

}  // namespace durograde::grade
