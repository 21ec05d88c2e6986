#include "check/progress_watch.hpp"

#include <algorithm>
#include <utility>

namespace durograde::check {
namespace {

/// Of either print mode: controllers with two of them take Q and S for the second.
std::optional<double> either(const grammar::Line& line, char one, char other) {
    for (const char letter : {one, other}) {
        const grammar::Word* word = line.find(letter);
        if (word != nullptr && word->value == grammar::Value::number) return word->number();
    }
    return std::nullopt;
}

// Both are said in whole numbers, and the model's clock has its own rounding of some parts in a
// hundred where moves are shorter than a planner's look-ahead.
constexpr double percent_slack = 2.0, minutes_slack = 1.5;

}  // namespace

void ProgressWatch::see(const grammar::Line& line, std::uint64_t output_line) {
    if (marks_.size() >= most_marks) {
        if (!std::exchange(is_full_, true))
            ledger_.fail(Invariant::nothing_lost, {}, {0, output_line},
                         "states the progress more often than it can change");
        return;
    }
    marks_.push_back({either(line, 'P', 'Q'), either(line, 'R', 'S'), clock_.least_s(),
                      clock_.most_s(), output_line});
}

void ProgressWatch::finish(bool wanted, std::uint64_t output_line) {
    if (wanted && marks_.empty()) {
        ledger_.fail(Invariant::nothing_lost, {}, {0, output_line},
                     "the input states its progress, and the output does not");
    }
    for (const Mark& mark : marks_) judge(mark);
}

void ProgressWatch::judge(const Mark& mark) const {
    const double least_rest_s = clock_.least_s() - mark.least_s;
    const double most_rest_s = clock_.most_s() - mark.most_s;
    const auto share = [](double gone_s, double rest_s) {
        const double all_s = gone_s + rest_s;
        return all_s > 0 ? 100.0 * gone_s / all_s : 100.0;
    };
    const auto fail = [&](const char* text) {
        ledger_.fail(Invariant::nothing_lost, {}, {0, mark.line}, text);
    };
    if (mark.percent) {
        const double least = share(mark.least_s, most_rest_s) - percent_slack;
        const double most = share(mark.most_s, least_rest_s) + percent_slack;
        if (*mark.percent < std::max(0.0, least) || *mark.percent > std::min(100.0, most))
            fail("says another share of the print than is done");
    }
    if (!mark.minutes_left) return;
    const double least = least_rest_s / 60 - minutes_slack;
    const double most = most_rest_s / 60 + minutes_slack;
    if (*mark.minutes_left < least || *mark.minutes_left > most)
        fail("says another time left than there is");
}

}  // namespace durograde::check
