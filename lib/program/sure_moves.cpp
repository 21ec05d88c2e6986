#include "program/sure_moves.hpp"

#include <array>
#include <cmath>

#include "program/words.hpp"

namespace durograde::program {
namespace {

/// The line says X or Y, and not where the nozzle stands.
bool goes_elsewhere(const grammar::Line& line, const State& state) {
    const std::array<double, 2> at_mm = {state.position.x, state.position.y};
    for (std::size_t axis = 0; axis < at_mm.size(); ++axis) {
        const grammar::Word* word = line.find(static_cast<char>('X' + axis));
        if (word == nullptr) continue;
        const double from_mm = state.frame.relative ? at_mm[axis] : state.origin_mm[axis];
        const double to_mm = from_mm + word->number() * state.frame.unit_mm();
        if (std::abs(to_mm - at_mm[axis]) > same_place_mm) return true;
    }
    return false;
}

/// Filament alone, and more of it than a restart feeds: such a line may stand as it is.
bool may_prime(const grammar::Line& line, const State& state) {
    const grammar::Word* e = line.find('E');
    if (e == nullptr || goes_elsewhere(line, state)) return false;
    const double from = state.frame.e_relative ? 0.0 : state.e_register;
    return line.has('Z') || (e->number() - from) * state.frame.e_unit_mm() > 2 * state.retracted_mm;
}

}  // namespace

bool is_surely_a_move(const grammar::Line& line, const State& state) {
    if (line.word_count == 0 || line.deleted || line.is_malformed()) return false;
    const grammar::Word& first = line.words[0];
    if (first.value != grammar::Value::number || may_prime(line, state)) return false;
    if (first.letter != 'G') return is_move_letter(first.letter) && state.motion >= 0;
    return first.decimals == 0 && first.mantissa >= 0 && first.mantissa <= 3 &&
           (line.repeated & bit('G')) == 0;
}

}  // namespace durograde::program
