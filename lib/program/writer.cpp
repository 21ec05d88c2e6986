#include "program/writer.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace durograde::program {
namespace {

constexpr double same_place_mm = 1e-6;
constexpr double same_register = 1e-7;
constexpr int finest_feed = 6;  // decimals
/// Writes `text` at `at` and returns its end.
char* put(char* at, std::string_view text) {
    std::copy(text.begin(), text.end(), at);
    return at + text.size();
}

constexpr std::size_t move_line_bytes =
    256;  // seven words of at most 26 bytes each, and a line end

}  // namespace

Writer::Writer(ByteBuffer& out, Decimals decimals, std::string line_end)
    : out_(out), decimals_(decimals), line_end_(std::move(line_end)) {}

void Writer::adopt(const State& state) {
    frame_ = state.frame;
    position_ = state.position;
    known_ = state.known;
    origin_mm_ = state.origin_mm;
    e_register_ = state.e_register;
    feed_mm_min_ = state.feed_mm_min;
    e_owed_ = 0.0;
}

bool Writer::is_at(const Point& point) const noexcept {
    return knows_position() && std::abs(point.x - position_.x) < same_place_mm &&
           std::abs(point.y - position_.y) < same_place_mm &&
           std::abs(point.z - position_.z) < same_place_mm;
}

bool Writer::counts_e_from(double e_register) const noexcept {
    return frame_.e_relative || std::abs(e_register - e_register_) < same_register;
}

Point rounded(const Point& point, const Frame& frame, const std::array<double, 3>& origin_mm,
              const Decimals& decimals) {
    const double unit = frame.unit_mm();
    const auto round = [&](double value, double origin, int digits) {
        const double number = static_cast<double>(scaled((value - origin) / unit, digits));
        return number / power_of_ten(digits) * unit + origin;
    };
    return {round(point.x, origin_mm[0], decimals.xy), round(point.y, origin_mm[1], decimals.xy),
            round(point.z, origin_mm[2], decimals.z)};
}

// --- words --------------------------------------------------------------------------------------

char* Writer::word(char* at, char letter, double value, int decimals) const {
    *at++ = ' ';
    *at++ = letter;
    return write_fixed(at, scaled(value, decimals), decimals);
}

char* Writer::axis_word(char* at, std::size_t axis, double to) {
    double& held = axis == 0 ? position_.x : axis == 1 ? position_.y : position_.z;
    const double base = frame_.relative ? held : origin_mm_[axis];
    const int decimals = axis == 2 ? decimals_.z : decimals_.xy;
    const double unit = frame_.unit_mm();
    const std::int64_t number = scaled((to - base) / unit, decimals);
    held = base + static_cast<double>(number) / power_of_ten(decimals) * unit;
    known_[axis] = true;
    *at++ = ' ';
    *at++ = static_cast<char>('X' + axis);
    return write_fixed(at, number, decimals);
}

char* Writer::feed_word(char* at, double feed_mm_min) {
    if (feed_mm_min == feed_mm_min_ || !(feed_mm_min > 0)) return at;
    feed_mm_min_ = feed_mm_min;
    // A feed that would be rounded to nothing is one that no machine takes.
    const double number = feed_mm_min / frame_.unit_mm();
    return word(at, 'F', number, scaled(number, decimals_.f) > 0 ? decimals_.f : finest_feed);
}

/// The E number for `e_mm` more filament. Relative numbers carry what rounding left over to the
/// next one, so that the sum stays right.
char* Writer::filament_number(char* at, double e_mm) {
    const double amount = e_mm / frame_.e_unit_mm();
    std::int64_t number = 0;
    if (frame_.e_relative) {
        const double exact = amount + e_owed_;
        number = scaled(exact, decimals_.e);
        e_owed_ = exact - static_cast<double>(number) / power_of_ten(decimals_.e);
        e_register_ += amount;
    } else {
        e_register_ += amount;
        number = scaled(e_register_, decimals_.e);
    }
    return write_fixed(at, number, decimals_.e);
}

char* Writer::end_line(char* at) {
    return end_line(at, line_end_);
}

char* Writer::end_line(char* at, std::string_view ending) {
    if (ending.empty()) ending = line_end_;
    ++lines_;
    return put(at, ending);
}

// --- lines --------------------------------------------------------------------------------------

void Writer::line(std::string_view text) {
    out_.append(text);
    out_.append(line_end_);
    ++lines_;
}

void Writer::travel(const Point& to, double feed_mm_min) {
    if (is_at(to)) return;
    char* at = out_.room(move_line_bytes);
    at = put(at, "G1");
    if (!known_[0] || std::abs(to.x - position_.x) >= same_place_mm) {
        at = axis_word(at, 0, to.x);
    }
    if (!known_[1] || std::abs(to.y - position_.y) >= same_place_mm) {
        at = axis_word(at, 1, to.y);
    }
    if (!known_[2] || std::abs(to.z - position_.z) >= same_place_mm) {
        at = axis_word(at, 2, to.z);
    }
    at = feed_word(at, feed_mm_min);
    out_.commit_to(end_line(at));
}

void Writer::lift(double z_mm, double feed_mm_min) {
    char* at = out_.room(move_line_bytes);
    at = axis_word(put(at, "G1"), 2, z_mm);
    at = feed_word(at, feed_mm_min);
    out_.commit_to(end_line(at));
}

void Writer::filament(double e_mm, double feed_mm_min) {
    char* at = out_.room(move_line_bytes);
    at = filament_number(put(at, "G1 E"), e_mm);
    at = feed_word(at, feed_mm_min);
    out_.commit_to(end_line(at));
}

void Writer::bead(const Point& to, double e_mm, double feed_mm_min) {
    char* at = out_.room(move_line_bytes);
    at = axis_word(put(at, "G1"), 0, to.x);
    at = axis_word(at, 1, to.y);
    if (std::abs(to.z - position_.z) >= same_place_mm) {
        at = axis_word(at, 2, to.z);
    }
    *at++ = ' ';
    *at++ = 'E';
    at = filament_number(at, e_mm);
    at = feed_word(at, feed_mm_min);
    out_.commit_to(end_line(at));
}

void Writer::arc(const Point& to, const Arc& arc, double e_mm, double feed_mm_min) {
    char* at = out_.room(move_line_bytes);
    const double unit = frame_.unit_mm();
    const Point start = position_;
    at = axis_word(put(at, arc.sweep_rad < 0 ? "G2" : "G3"), 0, to.x);
    at = axis_word(at, 1, to.y);
    if (std::abs(to.z - position_.z) >= same_place_mm) {
        at = axis_word(at, 2, to.z);
    }
    // Centre offsets carry one decimal more: their rounding would turn the whole arc.
    at = word(at, 'I', (arc.center_x - start.x) / unit, decimals_.xy + 1);
    at = word(at, 'J', (arc.center_y - start.y) / unit, decimals_.xy + 1);
    if (e_mm != 0.0) {
        *at++ = ' ';
        *at++ = 'E';
        at = filament_number(at, e_mm);
    }
    at = feed_word(at, feed_mm_min);
    out_.commit_to(end_line(at));
}

void Writer::owe(double e_mm) noexcept {
    (frame_.e_relative ? e_owed_ : e_register_) += e_mm / frame_.e_unit_mm();
}

void Writer::feed(double feed_mm_min) {
    if (feed_mm_min == feed_mm_min_ || !(feed_mm_min > 0)) return;
    char* at = out_.room(move_line_bytes);
    out_.commit_to(end_line(feed_word(put(at, "G1"), feed_mm_min)));
}

int Writer::restate(double feed_mm_min, bool is_lost) {
    frame_.relative = false;
    line("G90");
    line(frame_.e_relative ? "M83" : "M82");
    int lines = 2;
    if (!frame_.e_relative) {
        set_register(e_register_);
        ++lines;
    }
    feed_mm_min_ = 0.0;
    if (known_[2]) {
        char* at = out_.room(move_line_bytes);
        at = axis_word(put(at, "G1"), 2, position_.z);
        out_.commit_to(end_line(feed_word(at, feed_mm_min)));
        ++lines;
    }
    if (is_lost) known_[0] = known_[1] = false;
    return lines;
}

int Writer::say_unsaid(const Said& said) {
    int lines = 0;
    const auto say = [&](const char* command) {
        line(command);
        ++lines;
    };
    if (!said.units) say(frame_.inch ? "G20" : "G21");
    if (!said.distance) say(frame_.relative ? "G91" : "G90");
    if (!said.e_mode || !said.distance) say(frame_.e_relative ? "M83" : "M82");
    return lines;
}

void Writer::change_frame(const Frame& frame, double e_register) {
    if (frame == frame_) return;
    if (frame.inch != frame_.inch) line(frame.inch ? "G20" : "G21");
    if (frame.volumetric_area_mm2 != frame_.volumetric_area_mm2) {
        std::string command = "M200 D";
        append_trimmed(command, std::sqrt(frame.volumetric_area_mm2 * 4 / std::numbers::pi), 6);
        line(command);
    }
    if (frame.relative != frame_.relative) line(frame.relative ? "G91" : "G90");
    // Always said where the distance mode changed: on some controllers G90 and G91 set it too.
    if (frame.e_relative != frame_.e_relative || frame.relative != frame_.relative) {
        line(frame.e_relative ? "M83" : "M82");
    }
    const bool counts_anew = !frame.e_relative;
    frame_ = frame;
    e_owed_ = 0.0;
    if (counts_anew) set_register(e_register);
}

void Writer::set_register(double e_register) {
    char* at = out_.room(move_line_bytes);
    at = write_fixed(put(at, "G92 E"), scaled(e_register, decimals_.e), decimals_.e);
    out_.commit_to(end_line(at));
    e_register_ = e_register;
    e_owed_ = 0.0;
}

void Writer::copy(std::string_view text, std::string_view ending, const Point& to,
                  double e_register_after, double feed_mm_min, const std::array<bool, 3>& known) {
    char* at = out_.room(text.size() + ending.size() + line_end_.size());
    out_.commit_to(end_line(put(at, text), ending));
    position_ = to;
    known_ = known;
    e_register_ = e_register_after;
    feed_mm_min_ = feed_mm_min;
}

void Writer::copy_with_filament(std::string_view text, std::string_view ending, std::size_t e_begin,
                                std::size_t e_end, const Point& to, double e_mm,
                                double feed_mm_min) {
    char* at = out_.room(text.size() + ending.size() + line_end_.size() + 32);
    at = filament_number(put(at, text.substr(0, e_begin)), e_mm);
    at = put(at, text.substr(e_end));
    out_.commit_to(end_line(at, ending));
    position_ = to;
    feed_mm_min_ = feed_mm_min;
}

void Writer::copy_other(std::string_view text, std::string_view ending) {
    char* at = out_.room(text.size() + ending.size() + line_end_.size());
    out_.commit_to(end_line(put(at, text), ending));
}

void Writer::copy_frame(std::string_view text, std::string_view ending, const Frame& frame) {
    copy_other(text, ending);
    e_register_ *= frame_.e_unit_mm() / frame.e_unit_mm();
    e_owed_ = 0.0;
    frame_ = frame;
}

void Writer::copy_register(std::string_view text, std::string_view ending, double e_register) {
    copy_other(text, ending);
    e_register_ = e_register;
    e_owed_ = 0.0;
}

}  // namespace durograde::program
