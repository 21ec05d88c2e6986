#include "check/wishes.hpp"

#include <unistd.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstdio>
#include <map>
#include <string_view>

#include "check/best_set_points.hpp"
#include "check/card.hpp"
#include "check/zone_shares.hpp"
#include "plan/set_points.hpp"

namespace durograde::check {
namespace {

/// What an answer may be off from the best by: both readings of the input find boundaries to some
/// millionth of a bead; of a gradient each looks at places of its own.
constexpr double loose_share = 1e-5, loose_square = 1e-6;
constexpr double loose_share_of_gradient = 3e-3, loose_square_of_gradient = 1e-3;
constexpr double loose_step = 0.0006;  // of a step's begin, which is said to a thousandth

/// "; durograde: zone 2 by T1 at 221", zones counted from 1.
struct Answer {
    plan::SetPoint set;
    std::uint64_t line = 0;
};

/// "; durograde: gradient from 85.25 by T0 at 202".
struct StepAnswer {
    plan::GradientStep step;
    std::uint64_t line = 0;
};

struct AllAnswers {
    std::vector<Answer> zones;
    std::vector<StepAnswer> steps;
};

bool take(std::string_view& text, std::string_view word) {
    if (!text.starts_with(word)) return false;
    text.remove_prefix(word.size());
    return true;
}

template <typename Number>
bool take_number(std::string_view& text, Number& number) {
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
    if (error != std::errc()) return false;
    text.remove_prefix(static_cast<std::size_t>(end - text.data()));
    return true;
}

bool is_answer(std::string_view text, Answer& answer) {
    std::size_t zone = 0;
    const bool is_read = take(text, "; durograde: zone ") && take_number(text, zone) &&
                         take(text, " by T") && take_number(text, answer.set.tool) &&
                         take(text, " at ") && take_number(text, answer.set.temperature_c);
    if (!is_read || zone == 0 || !std::isfinite(answer.set.temperature_c)) return false;
    answer.set.zone = zone - 1;
    return true;
}

bool is_step(std::string_view text, StepAnswer& answer) {
    return take(text, "; durograde: gradient from ") &&
           take_number(text, answer.step.from_shore_a) && take(text, " by T") &&
           take_number(text, answer.step.tool) && take(text, " at ") &&
           take_number(text, answer.step.temperature_c) &&
           std::isfinite(answer.step.temperature_c) && std::isfinite(answer.step.from_shore_a);
}

/// They stand among the comments that the output begins with.
AllAnswers read_answers(int fd) {
    std::array<char, 65536> block{};  // 256 zones take some 9 kB
    const ssize_t count = ::pread(fd, block.data(), block.size(), 0);
    std::string_view rest(block.data(), count > 0 ? static_cast<std::size_t>(count) : 0);
    AllAnswers answers;
    take(rest, "\xEF\xBB\xBF");
    for (std::uint64_t line = 1; rest.starts_with(';'); ++line) {
        const std::size_t end = rest.find('\n');
        Answer answer;
        StepAnswer step;
        answer.line = step.line = line;
        if (is_answer(rest.substr(0, end), answer)) answers.zones.push_back(answer);
        if (is_step(rest.substr(0, end), step)) answers.steps.push_back(step);
        rest.remove_prefix(end == std::string_view::npos ? rest.size() : end + 1);
    }
    return answers;
}

std::string text_of(const char* format, double a, double b) {
    std::array<char, 200> text{};
    std::snprintf(text.data(), text.size(), format, a, b);
    return text.data();
}

class Judge {
  public:
    Judge(const plan::Plan& plan, Ledger& ledger)
        : plan_(plan), card_(plan.material->points), ledger_(ledger) {}

    /// Each wish has one answer that its tool can give. What has none ends the proof.
    bool can_be(const AllAnswers& answers) {
        std::vector<int> times(plan_.zones.size());
        for (const Answer& answer : answers.zones) {
            const std::size_t zone = answer.set.zone;
            if (zone >= times.size() || !plan_.zones[zone].hardness_shore_a) {
                object(answer.line, "says what a zone is given that asks for nothing");
                return false;
            }
            ++times[zone];
            if (!stands_at(answer.set.tool, answer.set.temperature_c, answer.line)) return false;
        }
        for (std::size_t zone = 0; zone < times.size(); ++zone) {
            if (!plan_.zones[zone].hardness_shore_a || times[zone] == 1) continue;
            object(0, "zone `" + plan_.zones[zone].name +
                          "` asks for a hardness, and the program does not say once what it is "
                          "given");
            return false;
        }
        return can_step(answers.steps);
    }

    /// Whether each wish has the best that any tool has for it by itself: then nothing can be
    /// better, whatever is printed of each.
    [[nodiscard]] bool are_each_the_best(const AllAnswers& answers) const {
        const auto is_best = [&](const Answer& answer) {
            const double wanted = *plan_.zones[answer.set.zone].hardness_shore_a;
            const double off = card_.hardness_shore_a(answer.set.temperature_c) - wanted;
            constexpr double alike = 1e-9;
            return off * off <= least_cost(plan_, {{wanted, 1.0}}) + alike;
        };
        return answers.steps.empty() &&
               std::all_of(answers.zones.begin(), answers.zones.end(), is_best);
    }

    /// `shares` of what was asked, as the proof reads the input.
    void judge_best(const AllAnswers& answers, const Shares& shares) {
        std::vector<Asked> asked = shares.gradient;
        double cost = 0.0, total = 0.0;
        const auto add = [&](double wanted, double weight, double celsius) {
            const double off = card_.hardness_shore_a(celsius) - wanted;
            cost += weight * off * off;
            total += weight;
        };
        for (const Asked& one : shares.gradient)
            add(one.shore_a, one.weight, step_at(answers.steps, one.shore_a).temperature_c);
        double of_zones = 0.0;
        for (const Answer& answer : answers.zones) of_zones += shares.zones[answer.set.zone];
        const bool has_any = total + of_zones > 0;
        for (const Answer& answer : answers.zones) {
            const double wanted = *plan_.zones[answer.set.zone].hardness_shore_a;
            const double weight = has_any ? shares.zones[answer.set.zone] : 1.0;
            add(wanted, weight, answer.set.temperature_c);
            asked.push_back({wanted, weight});
        }
        if (asked.empty()) return;
        cost /= total;
        const double least = least_cost(plan_, asked);
        const bool has_gradient = !shares.gradient.empty();
        const double share = has_gradient ? loose_share_of_gradient : loose_share;
        const double square = has_gradient ? loose_square_of_gradient : loose_square;
        if (cost <= least * (1 + share) + square) return;
        object(answers.zones.empty() ? answers.steps.front().line : answers.zones.front().line,
               text_of("its set-points leave what asks for a hardness off by %.4f Shore A (root "
                       "mean square by volume); %.4f can be had",
                       std::sqrt(cost), std::sqrt(least)));
    }

  private:
    void object(std::uint64_t line, std::string text) {
        ledger_.fail(Invariant::right_tool, {}, {0, line}, std::move(text));
    }

    static const plan::GradientStep& step_at(const std::vector<StepAnswer>& steps, double shore_a) {
        std::size_t i = 0;
        while (i + 1 < steps.size() && shore_a < steps[i].step.from_shore_a) ++i;
        return steps[i].step;
    }

    /// From the firmest on, each ending half-way to the next.
    bool can_step(const std::vector<StepAnswer>& steps) {
        if (steps.empty() == plan_.gradient.has_value()) {
            object(0, plan_.gradient ? "does not say by what steps the gradient is followed"
                                     : "says steps of a gradient that the plan does not have");
            return false;
        }
        for (std::size_t i = 0; i < steps.size(); ++i) {
            const plan::GradientStep& step = steps[i].step;
            if (!stands_at(step.tool, step.temperature_c, steps[i].line)) return false;
            if (i + 1 == steps.size()) continue;
            const double here = card_.hardness_shore_a(step.temperature_c);
            const double next = card_.hardness_shore_a(steps[i + 1].step.temperature_c);
            if (next < here && std::abs(step.from_shore_a - (here + next) / 2) <= loose_step)
                continue;
            object(steps[i].line, text_of("the step from %.3f does not end half-way between two "
                                          "hardnesses, at %.3f",
                                          step.from_shore_a, (here + next) / 2));
            return false;
        }
        return true;
    }

    /// Whether the tool may stand at that temperature, beside the others that it stands at.
    bool stands_at(int number, double celsius, std::uint64_t line) {
        const plan::Tool* tool = plan_.find_tool(number);
        bool stands = tool != nullptr && celsius == tool->temperature_c;
        if (tool != nullptr && tool->range_c) {
            const plan::Range& range = *tool->range_c;
            const bool is_end = celsius == range.low || celsius == range.high;
            stands = is_end || (celsius > range.low && celsius < range.high &&
                                std::trunc(celsius) == celsius);
            std::vector<double>& own = set_[tool->number];
            if (std::find(own.begin(), own.end(), celsius) == own.end()) own.push_back(celsius);
            stands = stands && own.size() <= static_cast<std::size_t>(tool->set_points);
        }
        if (!stands) {
            object(line, text_of("no tool %.0f stands at %g °C by the plan",
                                 static_cast<double>(number), celsius));
        }
        return stands;
    }

    const plan::Plan& plan_;
    Card card_;
    Ledger& ledger_;
    std::map<int, std::vector<double>> set_;
};

}  // namespace

std::optional<plan::Plan> answered(const plan::Plan& plan, const FirstLook& look, int after_fd,
                                   const std::string& before_name, Ledger& ledger) {
    const AllAnswers answers = read_answers(after_fd);
    Judge judge(plan, ledger);
    if (!judge.can_be(answers)) return std::nullopt;
    if (!judge.are_each_the_best(answers))
        judge.judge_best(answers, shares_of(plan, look, before_name));
    std::vector<plan::SetPoint> set;
    for (const Answer& answer : answers.zones) set.push_back(answer.set);
    std::vector<plan::GradientStep> steps;
    for (const StepAnswer& answer : answers.steps) steps.push_back(answer.step);
    return plan::with_set_points(plan, set, steps);
}

}  // namespace durograde::check
