#include "check/sayings.hpp"

#include "check/reader.hpp"

namespace durograde::check {
namespace {

Sayings of_move(const Act& act, const State& state, const grammar::Line& line) {
    Sayings said;
    if (act.by_machine) return said;
    if (line.has('F')) said.things |= says_feed;
    if (state.frame.relative) return said;
    if (line.has('X')) said.things |= says_x;
    if (line.has('Y')) said.things |= says_y;
    if (line.has('Z')) said.things |= says_z;
    return said;
}

Sayings of_frame(const grammar::Line& line, bool distance_sets_e) {
    Sayings said;
    for (std::uint32_t i = 0; i < line.word_count; ++i) {
        const grammar::Word& word = line.words[i];
        const int code = code_in_tenths(word);
        if (word.letter == 'M' && (code == 820 || code == 830)) said.things |= says_e_mode;
        if (word.letter != 'G') continue;
        if (code == 200 || code == 210) said.things |= says_units;
        if (code == 920) said.things |= says_e_count;
        if (code != 900 && code != 910) continue;
        said.things |= says_distance;
        if (distance_sets_e) said.things |= says_e_mode;
    }
    return said;
}

/// The bed's set-point is said as a setting is, but no change of tools changes it.
std::uint64_t bit_of_setting(const grammar::Line& line) {
    const grammar::Word& first = line.words[0];
    int code = code_in_tenths(first);
    if (first.letter == 'M' && code == 1400) return 0;
    if (code == 1070) code = 1060;
    const auto number = static_cast<std::uint64_t>(code) * 2 + (first.letter == 'G' ? 1 : 0);
    constexpr std::uint64_t golden = 0x9E3779B97F4A7C15ULL;  // Fibonacci hashing (Knuth, vol. 3)
    return std::uint64_t{1} << (number * golden >> 58);
}

}  // namespace

void SayingLog::see(const Act& act, const State& state, const grammar::Line& line) {
    if (pending_.things != 0) add(pending_);
    pending_ = {};
    Sayings said;
    if (act.moves()) {
        said = of_move(act, state, line);
        if (act.kind == Kind::bead) {
            pending_.things = said.things & std::uint32_t{says_place};
            said.things &= ~std::uint32_t{says_place};
        }
        // A move may carry G90 or G21 as well.
        if (line.word_count > 1 && line.words[0].letter == 'G' && line.words[1].letter == 'G')
            said.add(of_frame(line, distance_sets_e_));
    } else if (act.kind == Kind::frame || act.kind == Kind::pin) {
        said = of_frame(line, distance_sets_e_);
    } else if (act.kind == Kind::fan) {
        said.things = says_fan;
    } else if (act.kind == Kind::setting) {
        said.settings = bit_of_setting(line);
    } else {
        return;
    }
    // Nearly all lines say again what was said.
    if (!since_.hold(said)) add(said);
}

bool is_understood(const grammar::Line& line) {
    if (line.word_count == 0 || line.extended || line.is_malformed() || line.deleted) return false;
    const grammar::Word& first = line.words[0];
    const int code = code_in_tenths(first);
    if (first.letter == 'M') return code == 4860;
    if (first.letter != 'G') return false;
    return code == 40 || code == 100 || code == 110 || (code >= 170 && code <= 190) ||
           code == 280 || code == 920;
}

}  // namespace durograde::check
