#include "grade/swap_reading.hpp"

#include <algorithm>
#include <utility>

#include "text/number.hpp"

namespace durograde::grade {

using program::Step;

Failure unfit_swap_line(const plan::SwapLine& line, const std::string& text, std::string why,
                        std::string mend) {
    return {Exit::bad_plan, Diagnostic{.code = "unfit-line",
                                       .text = "around a swap of this program `" + text +
                                               "` cannot stand: " + std::move(why),
                                       .mend = std::move(mend),
                                       .place = line.place}};
}

SwapReading::SwapReading(const plan::Plan& plan)
    : interpreter_(program::Dialect::of(plan), "lines around a swap") {}

void SwapReading::take(const std::string& text) {
    grammar::parse_line(text, parsed_);
    interpreter_.interpret({text, "\n", 0, 0}, parsed_, step_);
}

void SwapReading::begin(const program::Point& at, double feed_mm_min, double speed_factor) {
    constexpr int finest = 6;  // decimals: a thousandth of what programs are written with
    std::string factor = "M220 S";
    append_trimmed(factor, speed_factor * 100, finest);
    take(factor);
    for (const char* mode : {"G21", "G90", "M83", "G92 E0"}) take(mode);
    std::string place = "G1 X";
    append_trimmed(place, at.x, finest);
    append_trimmed(place += " Y", at.y, finest);
    append_trimmed(place += " Z", at.z, finest);
    if (feed_mm_min > 0) append_trimmed(place += " F", feed_mm_min, finest);
    take(place);
    said_ = {true, true, true};
}

void SwapReading::select() {
    for (const char* mode : {"G21", "G90", "M83"}) take(mode);
    said_ = {};
}

const Step& SwapReading::read(const std::string& text, const plan::SwapLine& line) {
    begins_known_ = said_[0] && said_[1] && said_[2];
    try {
        take(text);
    } catch (const Failure& failure) {
        const Diagnostic& first = failure.diagnostics().front();
        throw unfit_swap_line(line, text, first.text, first.mend);
    }
    const bool states = step_.moves() && !interpreter_.state().frame.relative;
    for (std::size_t axis = 0; axis < 3; ++axis) {
        const bool named = parsed_.has(static_cast<char>('X' + axis));
        if (named) said_[axis] = said_[axis] || states;
        if (step_.leaves_unknown) said_[axis] = false;
    }
    return step_;
}

}  // namespace durograde::grade
