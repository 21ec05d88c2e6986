#include "heat/timeline.hpp"

#include <rapidcheck.h>

#include <catch2/catch.hpp>
#include <vector>

#include "random.hpp"

namespace durograde {
namespace {

using heat::Timeline;

class Text final : public Sink {
  public:
    void write(std::string_view bytes) override { text += bytes; }
    std::string text;
};

/// A line a second, named by the time at which it is reached, and a mark before each.
struct Seconds {
    explicit Seconds(int count) : timeline(out) {
        for (int i = 0; i < count; ++i) {
            marks.push_back(timeline.mark(i));
            timeline.bytes().append(std::to_string(i) + "\n");
        }
    }
    std::string finish() {
        timeline.release_all();
        return out.text;
    }

    Text out;
    Timeline timeline;
    std::vector<Timeline::Mark> marks;
};

/// What a timeline must do, kept as plain lists: text before each mark, and what was put in there.
class Model {
  public:
    void mark(std::uint64_t position, double time) {
        if (places_.empty() || places_.back().position != position)
            places_.push_back({position, time, {}});
        places_.back().time = time;
    }
    std::uint64_t insert(double at, std::uint64_t floor, const std::string& lines) {
        std::size_t chosen = first_;
        for (std::size_t i = first_; i < places_.size(); ++i) {
            if (places_[i].time <= at) chosen = i;
        }
        // A floor that has gone by is none.
        for (std::size_t i = chosen; i < places_.size(); ++i) {
            if (places_[i].position == floor) chosen = i;
        }
        places_[chosen].lines += lines;
        return places_[chosen].position;
    }
    void release(double before) {
        while (first_ + 1 < places_.size() && places_[first_].time < before) ++first_;
    }
    [[nodiscard]] double oldest_time() const { return places_[first_].time; }
    [[nodiscard]] std::string merged(const std::string& text) const {
        std::string out;
        std::size_t at = 0;
        for (const Place& place : places_) {
            out += text.substr(at, place.position - at) + place.lines;
            at = place.position;
        }
        return out + text.substr(at);
    }

  private:
    struct Place {
        std::uint64_t position = 0;
        double time = 0;
        std::string lines;
    };
    std::vector<Place> places_;
    std::size_t first_ = 0;
};

}  // namespace

TEST_CASE("a command that would come far too early goes to the next mark", "[heat]") {
    Text out;
    Timeline timeline(out);
    const Timeline::Mark begin = timeline.mark(0);
    timeline.bytes().append("wait\n");
    timeline.mark(60);
    timeline.bytes().append("print\n");
    CHECK(timeline.insert(20, begin, "near enough\n", 25).time_s == 0);
    CHECK(timeline.insert(20, begin, "too early\n", 15).time_s == 60);
    CHECK(timeline.insert(90, begin, "nothing follows\n", 15).time_s == 60);
    timeline.release_all();
    CHECK(out.text == "near enough\nwait\ntoo early\nnothing follows\nprint\n");
}

TEST_CASE("a command lands at the last mark not later than asked", "[heat]") {
    Seconds s(5);
    CHECK(s.timeline.insert(2.0, s.marks[0], "exactly\n").time_s == 2);
    CHECK(s.timeline.insert(3.999, s.marks[0], "just before\n").time_s == 3);
    CHECK(s.timeline.insert(99, s.marks[0], "late\n").time_s == 4);
    CHECK(s.timeline.insert(-5, s.marks[0], "early\n").time_s == 0);
    CHECK(s.finish() == "early\n0\n1\nexactly\n2\njust before\n3\nlate\n4\n");
}

TEST_CASE("a command lands never before the floor", "[heat]") {
    Seconds s(5);
    CHECK(s.timeline.insert(1.5, s.marks[3], "set\n").position == s.marks[3].position);
    CHECK(s.timeline.insert(4.5, s.marks[3], "late\n").time_s == 4);
    CHECK(s.finish() == "0\n1\n2\nset\n3\nlate\n4\n");
}

TEST_CASE("commands at one place keep the order in which they came", "[heat]") {
    Seconds s(3);
    for (const char* lines : {"a\n", "b\n", "c\n"}) s.timeline.insert(1, s.marks[0], lines);
    s.timeline.insert(0.5, s.marks[0], "first\n");
    CHECK(s.finish() == "first\n0\na\nb\nc\n1\n2\n");
}

TEST_CASE("what has been passed on stays as it is", "[heat]") {
    Seconds s(5);
    CHECK(s.timeline.release(2.5) == 3);
    CHECK(s.out.text == "0\n1\n2\n");
    CHECK(s.timeline.oldest().position == s.marks[3].position);
    CHECK(s.timeline.insert(1, s.marks[0], "set\n").time_s == 3);
    CHECK(s.timeline.release(99) == 4);  // the last mark is kept
    CHECK(s.out.text == "0\n1\n2\nset\n3\n");
    CHECK(s.finish() == "0\n1\n2\nset\n3\n4\n");
}

TEST_CASE("a timeline without marks passes its bytes on at the end", "[heat]") {
    Text out;
    Timeline timeline(out);
    timeline.bytes().append("; begin\n");
    timeline.release(100);
    CHECK(timeline.position() == 8);
    timeline.release_all();
    CHECK(out.text == "; begin\n");
}

TEST_CASE("two marks at one place are one, at the later time", "[heat]") {
    Text out;
    Timeline timeline(out);
    timeline.mark(1);
    timeline.mark(2);
    CHECK(timeline.insert(1.5, timeline.oldest(), "set\n").time_s == 2);
    timeline.release_all();
    CHECK(out.text == "set\n");
}

TEST_CASE("what is held back has a limit", "[heat]") {
    Seconds s(3);
    CHECK_FALSE(s.timeline.is_crowded());
    s.timeline.bytes().append(std::string(Timeline::crowded_bytes, 'x'));
    s.timeline.mark(3);
    CHECK(s.timeline.is_crowded());
    CHECK(s.timeline.release(0) == 3);  // all but the last mark went, whatever was asked
    CHECK(s.out.text.size() == Timeline::crowded_bytes + 6);
    CHECK_FALSE(s.timeline.is_crowded());
}

TEST_CASE("a timeline agrees with plain lists", "[heat]") {
    REQUIRE(rc::check("by a slow model", [](std::uint64_t seed) {
        sheets::Random random(seed);
        Text out;
        Timeline timeline(out);
        Model model;
        std::string text;
        double now = 0;
        std::vector<Timeline::Mark> marks;
        for (int i = 0; i < 300; ++i) {
            const int what = marks.empty() ? 0 : random.between(0, 9);
            if (what < 6) {
                now += random.between(0, 20) * 0.1;
                marks.push_back(timeline.mark(now));
                model.mark(text.size(), now);
                const std::string line(static_cast<std::size_t>(random.between(0, 9)), 'x');
                timeline.bytes().append(line);
                text += line;
            } else if (what < 9) {
                const double at = now - random.between(-20, 400) * 0.1;
                const auto& floor = marks[static_cast<std::size_t>(
                    random.between(0, static_cast<int>(marks.size()) - 1))];
                const std::string lines = "[" + std::to_string(i) + "]";
                const auto took = timeline.insert(at, floor, lines);
                RC_ASSERT(took.position == model.insert(at, floor.position, lines));
            } else {
                const double before = now - random.between(0, 300) * 0.1;
                const double until = timeline.release(before);
                model.release(before);
                RC_ASSERT(until == model.oldest_time());
            }
        }
        timeline.release_all();
        RC_ASSERT(out.text == model.merged(text));
    }));
}

}  // namespace durograde
