#include "check/comparison.hpp"

/// The plan's own lines around a swap. They are read as the machine will: their moves take time,
/// what they feed is declared, they may not run through what is printed. Of what they leave behind
/// nothing counts until it is said again.
namespace durograde::check {
namespace {

std::string_view trimmed_end(std::string_view text) {
    return text.substr(0, text.find_last_not_of(" \t") + 1);
}

}  // namespace

void Comparison::begin_swap() {
    end_coasting(false);
    interrupted_ = true;
    swap_from_ = {after_.state(), filament_watch_.drawn(), false};
    swap_watch_.begins(after_.state().frame, after_.raw().number);
}

/// False where the line is none of them.
bool Comparison::see_swap_line() {
    const Act& act = after_.act();
    const std::uint64_t line = after_.raw().number;
    const bool is_text = after_.line().word_count > 0;
    const std::string_view text = trimmed_end(is_text ? after_.command() : after_.raw().text);
    if (text == "; durograde: swap ends") return false;
    const SwapWatch::Own own = swap_watch_.next(text, act.kind == Kind::tool, line);
    if (own == SwapWatch::Own::stranger) return false;
    // Where a way begins is what was said before its line.
    const bool begins_known = !swap_from_.is_place_lost || sayings_.since().hold({says_place, 0});
    sayings_.see(act, after_.state(), after_.line());
    if (own == SwapWatch::Own::selection) {
        see_tool();
        lose_place();
        return true;
    }
    if (act.kind == Kind::pin && !is_understood(after_.line())) lose_place();
    clock_.pause(act.dwell_s);
    if (!act.moves()) return true;
    if (begins_known) hit_watch_.move_around_swap(act, line);
    if (!swap_from_.is_place_lost || sayings_.since().hold({says_z, 0}))
        hit_watch_.go_to_height(act, line);
    filament_watch_.feed_around_swap(act);
    clock_.move(act, after_.state());
    return true;
}

void Comparison::lose_place() {
    sayings_.pass_swap();
    swap_from_.is_place_lost = true;
}

void Comparison::end_swap() {
    swap_watch_.ends(after_.raw().number);
    after_.forget_since(swap_from_.state, heat_watch_.tool());
    sayings_.pass_swap();
}

}  // namespace durograde::check
