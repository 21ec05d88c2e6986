#include "heat/timeline.hpp"

#include <algorithm>
#include <cmath>

namespace durograde::heat {

Timeline::Mark Timeline::mark(double now_s) {
    const Mark mark{position(), now_s};
    if (marks_.empty() || marks_.back().position != mark.position) {
        marks_.push_back(mark);
    } else {
        marks_.back().time_s = now_s;
    }
    return mark;
}

Timeline::Mark Timeline::oldest() const {
    return marks_.empty() ? Mark{position(), 0.0} : marks_.front();
}

Timeline::Mark Timeline::insert(double at_s, const Mark& earliest, std::string lines,
                                double most_early_s) {
    const auto later =
        std::upper_bound(marks_.begin(), marks_.end(), at_s,
                         [](double time, const Mark& mark) { return time < mark.time_s; });
    Mark place = later == marks_.begin() ? oldest() : *std::prev(later);
    if (place.position < earliest.position && earliest.position >= released_) place = earliest;
    if (at_s - place.time_s > most_early_s && later != marks_.end()) place = *later;
    const auto after = std::upper_bound(
        insertions_.begin(), insertions_.end(), place.position,
        [](std::uint64_t position, const Insertion& i) { return position < i.position; });
    insertions_.insert(after, {place.position, std::move(lines)});
    return place;
}

void Timeline::write(std::string_view bytes) {
    sink_.write(bytes);
    written_ += bytes.size();
}

void Timeline::pass_on(std::uint64_t position) {
    while (!insertions_.empty() && insertions_.front().position <= position) {
        const std::size_t count = insertions_.front().position - released_;
        write(bytes_.view().substr(0, count));
        bytes_.drop_front(count);
        released_ += count;
        write(insertions_.front().lines);
        insertions_.pop_front();
    }
    const std::size_t count = position - released_;
    write(bytes_.view().substr(0, count));
    bytes_.drop_front(count);
    released_ += count;
}

/// Keeps the place of a mark, where it is due.
void Timeline::pass_on(const Mark& mark) {
    if (std::isinf(place_every_s_) || mark.time_s < next_place_s_) return;
    pass_on(mark.position);
    places_.push_back({written_, mark.time_s});
    next_place_s_ = mark.time_s + place_every_s_;
}

double Timeline::release(double before_s) {
    const auto keep_from =
        std::lower_bound(marks_.begin(), marks_.end(), before_s,
                         [](const Mark& mark, double time) { return mark.time_s < time; });
    auto first_kept = keep_from;
    if (is_crowded()) first_kept = marks_.empty() ? marks_.end() : std::prev(marks_.end());
    if (first_kept == marks_.begin()) return marks_.empty() ? before_s : marks_.front().time_s;
    // The last mark is kept: it is the place nearest to what comes next.
    first_kept = std::min(first_kept, std::prev(marks_.end()));
    std::for_each(marks_.begin(), first_kept, [this](const Mark& mark) { pass_on(mark); });
    pass_on(first_kept->position);
    marks_.erase(marks_.begin(), first_kept);
    return marks_.front().time_s;
}

void Timeline::release_all() {
    for (const Mark& mark : marks_) pass_on(mark);
    pass_on(position());
    marks_.clear();
}

}  // namespace durograde::heat
