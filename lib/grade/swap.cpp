#include <cmath>
#include <string>
#include <utility>

#include "grade/emitter.hpp"

/// One tool or temperature takes over from another: swap, wait, prime.
namespace durograde::grade {

namespace {

constexpr double dwell_spare_s = 1.0;  // for what two clocks differ by

}  // namespace

bool Emitter::must_change(const Piece& piece) const {
    if (piece.station == station_) return false;
    const Station& station = stations_[piece.station];
    if (station.tool != tool_ || tool_in_doubt_) return true;
    return station.temperature_c > 0 &&
           (schedule_.needs_set(station.tool, station.temperature_c) ||
            !schedule_.is_ready(station.tool, station.temperature_c, clock_.now_s()));
}

void Emitter::say(const grammar::CommandTemplate& command, const grammar::SlotValues& values) {
    std::string text;
    expand(command, values, text);
    writer_.line(text);
}

void Emitter::change_to(const Piece& piece) {
    const Station& station = stations_[piece.station];
    if (station.tool == tool_ && !tool_in_doubt_) {
        go_to_spot(travel_feed());
        change_temperature(station);
    } else {
        swap_to(station);
    }
    station_ = piece.station;
    origin_ = origin_of(piece);
    const plan::Tool* current = tool();
    const bool primes = current != nullptr && current->prime.has_value() && prime_mm(*current) > 0;
    if (!primes) return;
    if (current->prime->on_block) return prime_on_block(prime_mm(*current), travel_feed());
    const Point spot = current->prime->at_spot
                           ? Point{current->prime->x_mm, current->prime->y_mm, piece.entry().z}
                           : piece.entry();
    arrive(spot, travel_feed(), true);
    prime(*current);
    if (current->prime->at_spot) leave(true);
}

/// Where the tool primes at a spot it waits there for its temperature: what oozes out falls on none
/// of the parts.
void Emitter::go_to_spot(double feed_mm_min) {
    const plan::Tool* current = tool();
    const bool has_spot = current != nullptr && current->prime && current->prime->at_spot;
    if (!has_spot || !writer_.knows_position()) return;
    const Point spot{current->prime->x_mm, current->prime->y_mm, writer_.position().z};
    if (writer_.is_at(spot)) return;
    travel(spot, feed_mm_min);
    count(figures_.edits.inserted, Reason::travel);
}

void Emitter::change_temperature(const Station& station) {
    const double began_s = clock_.now_s();
    schedule_.leave(tool_, timeline_.mark(began_s));
    const double waited = wait_at(station, began_s);
    clock_.pause(waited);
    oozed_mm3_ = schedule_.oozed_mm3(station.tool, clock_.now_s());
    schedule_.reached(station.tool, station.temperature_c, clock_.now_s(), waited);
    figures_.waiting_s += waited;
    ++figures_.temperature_changes;
}

/// Sets (where nothing on the timeline has) and waits; returns the seconds that the wait will take.
double Emitter::wait_at(const Station& station, double need_s) {
    if (station.temperature_c <= 0) return 0.0;
    double waited = schedule_.arrive(station.tool, station.temperature_c, need_s);
    const plan::Writes& write = plan_.machine.write;
    const bool cools = schedule_.must_cool(station.tool, station.temperature_c, need_s);
    const bool dwells = cools && !write.wait_cool && !write.wait_cools;
    if (dwells) waited += dwell_spare_s;
    grammar::SlotValues values;
    values.tool = station.tool;
    values.temperature_c = station.temperature_c;
    values.seconds = waited;
    const bool was_in_doubt = std::exchange(heat_in_doubt_, false);
    if (was_in_doubt || schedule_.needs_set(station.tool, station.temperature_c)) {
        say(write.set, values);
        count(figures_.edits.inserted, Reason::heat);
    }
    if (dwells) {
        // The wait is over at once where the tool is too hot: it cools by its heater's model.
        const double units = std::ceil(waited / plan_.machine.read.dwell_p_s);
        writer_.line("G4 P" + std::to_string(static_cast<long>(units)));
        count(figures_.edits.inserted, Reason::heat);
    }
    say(cools && write.wait_cool ? *write.wait_cool : write.wait, values);
    count(figures_.edits.inserted, Reason::heat);
    return waited;
}

/// The program's own lines wait for a tool, or for all (-1): it takes as long as sliced.
void Emitter::wait_as_sliced(int tool) {
    const double waited_s = schedule_.heating_s(tool, clock_.now_s());
    clock_.pause(waited_s);
    figures_.waiting_s += waited_s;
    figures_.before_s += waited_s;
    schedule_.note_wait(tool, clock_.now_s());
}

void Emitter::swap_to(const Station& station) {
    const double began_s = clock_.now_s();
    schedule_.leave(tool_, timeline_.mark(began_s));
    grammar::SlotValues values;
    values.tool = values.to = station.tool;
    values.from = tool_;
    values.temperature_c = station.temperature_c;
    values.x_mm = writer_.position().x;
    values.y_mm = writer_.position().y;
    values.z_mm = writer_.position().z;
    values.layer = static_cast<long>(figures_.layer_list.size());
    const double safe_z_mm = writer_.position().z;
    const double lines_s = select(station.tool, values);
    const double waited = wait_at(station, began_s + lines_s + plan_.machine.swap_time_s);
    clock_.pause(plan_.machine.swap_time_s + waited);
    oozed_mm3_ = schedule_.oozed_mm3(station.tool, clock_.now_s());
    if (station.temperature_c > 0) {
        schedule_.reached(station.tool, station.temperature_c, clock_.now_s(), waited);
    }
    restate_after_swap(safe_z_mm);
    // The plan's own lines may have left the tool retracted by less than its ways are to be.
    if (std::exchange(moved_by_lines_[tool_], false)) draw_back();
    wipe_path_.clear();
    ++figures_.swaps;
    figures_.swaps_s += lines_s + plan_.machine.swap_time_s;
    figures_.waiting_s += waited;
    mark();
}

/// Filament that is fed after a swap: the plan's, and what has oozed out of the tool, if it says
/// so.
double Emitter::prime_mm(const plan::Tool& current) const {
    return current.prime->length_mm + (current.prime->refills ? oozed_mm3_ / area_mm2_ : 0.0);
}

void Emitter::prime(const plan::Tool& current) {
    const double speed = travel_->retract.value_or(plan::Retract{}).restart_speed_mm_s;
    writer_.line("; durograde: prime begins");
    const double began_s = clock_.now_s(), primed_mm = prime_mm(current);
    move_filament(primed_mm, speed);
    figures_.priming_s += clock_.now_s() - began_s;
    writer_.line("; durograde: prime ends");
    count(figures_.edits.inserted, Reason::prime, 3);
    // What refills the tool is counted where it oozed out.
    figures_.prime_mm3 += current.prime->length_mm * area_mm2_;
    figures_.refill_mm3 += (primed_mm - current.prime->length_mm) * area_mm2_;
    figures_.restart_mm3 -= primed_mm * area_mm2_;
}

}  // namespace durograde::grade
