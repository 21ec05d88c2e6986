#pragma once

#include <deque>
#include <functional>
#include <memory>
#include <vector>

#include "grade/sequence.hpp"
#include "grade/work.hpp"

namespace durograde::grade {

/// A row of spans with some of those that come after: so many as memory allows, a few layers of a
/// large sheet, at most `most_spans`.
class Window {
  public:
    /// `next` gives one span after the other, null at the end; what it gave is swapped for another.
    explicit Window(std::function<Work*()> next) : next_(std::move(next)) {}

    /// The next span, or null at the end. It is the caller's until the next call.
    Work* next() {
        if (!row_.empty()) {
            free_.push_back(std::move(row_.front()));
            row_.pop_front();
            needs_.erase(needs_.begin());
        }
        while (wants_more() && take()) {
        }
        return row_.empty() ? nullptr : row_.front().get();
    }
    /// What the next span and those after it need.
    [[nodiscard]] const std::vector<Need>& needs() const noexcept { return needs_; }
    /// All stations of these spans.
    [[nodiscard]] const Stations& stations() const { return row_.back()->stations; }

  private:
    static constexpr std::size_t most_spans = 16;
    static constexpr std::size_t most_segments_ahead = 60'000;

    [[nodiscard]] bool wants_more() const {
        if (row_.empty()) return true;
        std::size_t segments = 0;
        for (std::size_t i = 1; i < row_.size(); ++i) segments += row_[i]->span.segments.size();
        return row_.size() < most_spans && segments < most_segments_ahead;
    }
    bool take() {
        if (ended_) return false;
        Work* work = next_();
        ended_ = work == nullptr;
        if (ended_) return false;
        std::unique_ptr<Work> own;
        if (free_.empty()) {
            own = std::make_unique<Work>();
        } else {
            own = std::move(free_.back());
            free_.pop_back();
        }
        std::swap(*own, *work);
        needs_.push_back(need_of(own->span, own->pieces, own->stations));
        needs_.back().first = own->first_station;
        row_.push_back(std::move(own));
        return true;
    }

    std::function<Work*()> next_;
    std::deque<std::unique_ptr<Work>> row_;
    std::vector<std::unique_ptr<Work>> free_;
    std::vector<Need> needs_;  ///< of the spans in the row
    bool ended_ = false;
};

}  // namespace durograde::grade
