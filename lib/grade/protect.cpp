#include <algorithm>
#include <cmath>

#include "grade/emitter.hpp"

/// New ways between pieces: retract, wipe and hop where they must not string, swaps, and the return
/// to where the input was.
namespace durograde::grade {

using program::State;
using program::Stroke;

namespace {

constexpr double same_mm = 1e-6;

}  // namespace

bool Emitter::must_change(const Piece& piece) const {
    if (piece.station == station_) return false;
    const Station& station = stations_[piece.station];
    if (station.tool != tool_ || tool_in_doubt_) return true;
    return station.temperature_c > 0 &&
           (schedule_.needs_set(station.tool, station.temperature_c) ||
            !schedule_.is_ready(station.tool, station.temperature_c, clock_.now_s()));
}

double Emitter::travel_feed(const Stroke& stroke) const {
    return stroke.travel_feed_mm_min > 0
               ? stroke.travel_feed_mm_min
               : std::min(plan_.machine.speed.x, plan_.machine.speed.y) * 60;
}

void Emitter::travel(const Point& to, double feed_mm_min) {
    const Point from = writer_.knows_position() ? writer_.position() : to;
    clock_.move({to.x - from.x, to.y - from.y, to.z - from.z, 0.0, distance(from, to), feed_mm_min,
                 motion::Drive::travel});
    note_open_air(from, to);
    writer_.travel(to, feed_mm_min);
    mark_if_due();
}

void Emitter::note_open_air(const Point& from, const Point& to) {
    if (cover_ == nullptr) return;
    const double open_mm = cover_->open_air(from, to).total_mm;
    figures_.open_air_mm_after += open_mm;
    const auto retracted = retracted_mm_.find(tool_);
    const bool drawn_back = retracted != retracted_mm_.end() && retracted->second > 0;
    if (!drawn_back && !firmware_retracted_[tool_])
        figures_.open_air_unprotected_mm_after += open_mm;
}

void Emitter::lift(double z_mm) {
    const double rise = writer_.knows_height() ? z_mm - writer_.position().z : 0.0;
    const double feed_mm_min = plan_.machine.speed.z * 60;
    clock_.move({0.0, 0.0, rise, 0.0, std::abs(rise), feed_mm_min, motion::Drive::travel});
    writer_.lift(z_mm, feed_mm_min);
}

void Emitter::move_filament(double e_mm, double speed_mm_s) {
    clock_.move({0.0, 0.0, 0.0, e_mm, std::abs(e_mm), speed_mm_s * 60, motion::Drive::filament});
    writer_.filament(e_mm, speed_mm_s * 60);
    double& retracted = retracted_mm_[tool_];
    retracted = std::max(0.0, retracted - e_mm);
    if (retracted < same_mm) retracted = 0.0;
}

/// Retracts, where the tool does and has not yet.
void Emitter::draw_back() {
    const plan::Tool* current = tool();
    const bool retracted = retracted_mm_[tool_] > 0 || firmware_retracted_[tool_];
    if (current == nullptr || !current->retract.has_value() || retracted) return;
    move_filament(-current->retract->length_mm, current->retract->speed_mm_s);
    count(figures_.edits.inserted, Reason::protection);
}

/// Before a travel, or before the tool is put away: retract, wipe, hop, as far as the tool does
/// them.
void Emitter::leave(bool protect, bool puts_away) {
    const plan::Tool* current = tool();
    if (!protect || current == nullptr) return;
    draw_back();
    if (current->wipe.has_value()) wipe(*current->wipe, puts_away);
    ++figures_.protected_travels;
    if (!current->hop_mm.has_value() || !writer_.knows_height()) return;
    const double z = std::min(writer_.position().z + *current->hop_mm, plan_.machine.reach_z.high);
    if (z <= writer_.position().z + same_mm) return;
    lift(z);
    count(figures_.edits.inserted, Reason::protection);
}

/// Back along the path just printed, so that what hangs on the nozzle stays on the part. A tool
/// that is put away returns to that path first, where it stands elsewhere.
void Emitter::wipe(const plan::Wipe& wipe, bool puts_away) {
    if (path_back_.empty()) return;
    const Point end{path_end_.x, path_end_.y, writer_.position().z};
    if (!writer_.is_at(end)) {
        if (!puts_away) return;
        travel(end, wipe.speed_mm_s * 60);
        count(figures_.edits.inserted, Reason::protection);
    }
    double left = wipe.length_mm;
    const std::vector<Point> path = path_back_;
    for (const Point& corner : path) {
        const Point at = writer_.position();
        const double length = distance_xy(at, corner);
        if (left <= same_mm) break;
        if (length <= same_mm) continue;
        const Point to = writer_.rounded(between(at, corner, std::min(1.0, left / length)));
        if (!writer_.is_at(to)) {
            travel(to, wipe.speed_mm_s * 60);
            count(figures_.edits.inserted, Reason::protection);
        }
        left -= length;
    }
    path_back_.clear();
}

/// After leaving: over to `to`, above what could be hit, then down and restart.
void Emitter::arrive(const Point& to, double feed_mm_min, bool protect) {
    if (!writer_.knows_position() && writer_.frame().relative) {
        // No increment leads from an unknown place to a known one.
        program::Frame absolute = writer_.frame();
        absolute.relative = false;
        writer_.change_frame(absolute, writer_.e_register());
        count(figures_.edits.inserted, Reason::frame);
    }
    const plan::Tool* current = tool();
    const double hop_mm = protect && current != nullptr ? current->hop_mm.value_or(0.0) : 0.0;
    double high = std::min(to.z + hop_mm, std::max(plan_.machine.reach_z.high, to.z));
    if (writer_.knows_height()) high = std::max(high, writer_.position().z);
    if (!writer_.knows_height() || writer_.position().z < high - same_mm) {
        lift(high);
        count(figures_.edits.inserted, hop_mm > 0 ? Reason::protection : Reason::travel);
    }
    const Point above{to.x, to.y, high};
    if (!writer_.is_at(above)) {
        travel(above, feed_mm_min);
        count(figures_.edits.inserted, Reason::travel);
    }
    if (high > to.z + same_mm) {
        lift(to.z);
        count(figures_.edits.inserted, hop_mm > 0 ? Reason::protection : Reason::travel);
    }
    restart();
}

/// Restarts what is drawn back, down to what may stay so.
void Emitter::restart(double down_to_mm, bool stays_by_firmware) {
    if (firmware_retracted_[tool_] && !stays_by_firmware) {
        writer_.line("G11");
        firmware_retracted_[tool_] = false;
        count(figures_.edits.inserted, Reason::protection);
    }
    const double retracted = retracted_mm_[tool_] - down_to_mm;
    if (retracted < same_mm) return;
    const plan::Tool* current = tool();
    const plan::Retract how =
        current != nullptr && current->retract.has_value() ? *current->retract : plan::Retract{};
    const bool ours = current != nullptr && current->retract.has_value();
    move_filament(retracted + (ours ? how.restart_mm : 0.0), how.restart_speed_mm_s);
    count(figures_.edits.inserted, Reason::protection);
}

void Emitter::say(const grammar::CommandTemplate& command, const grammar::SlotValues& values) {
    std::string text;
    expand(command, values, text);
    writer_.line(text);
}

void Emitter::swap_if_needed(const Piece& piece, const Stroke& stroke) {
    const Station& station = stations_[piece.station];
    if (station.tool == tool_ && !tool_in_doubt_) {
        go_to_spot(travel_feed(stroke));
        change_temperature(station);
    } else {
        swap_to(station);
    }
    station_ = piece.station;
    const plan::Tool* current = tool();
    const bool primes =
        current != nullptr && current->prime.has_value() && current->prime->length_mm > 0;
    if (!primes) return;
    const Point spot = current->prime->at_spot
                           ? Point{current->prime->x_mm, current->prime->y_mm, piece.begin.point.z}
                           : piece.begin.point;
    arrive(spot, travel_feed(stroke), true);
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
    schedule_.reached(station.tool, station.temperature_c, clock_.now_s(), waited);
    figures_.waiting_s += waited;
    ++figures_.temperature_changes;
}

/// Sets (where nothing on the timeline has) and waits; returns the seconds that the wait will take.
double Emitter::wait_at(const Station& station, double need_s) {
    if (station.temperature_c <= 0) return 0.0;
    const double waited = schedule_.arrive(station.tool, station.temperature_c, need_s);
    grammar::SlotValues values;
    values.tool = station.tool;
    values.temperature_c = station.temperature_c;
    values.seconds = waited;
    if (schedule_.needs_set(station.tool, station.temperature_c)) {
        say(plan_.machine.write.set, values);
        count(figures_.edits.inserted, Reason::heat);
    }
    say(plan_.machine.write.wait, values);
    count(figures_.edits.inserted, Reason::heat);
    return waited;
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
    const plan::Writes& write = plan_.machine.write;
    for (const auto& command : write.before_swap) say(command, values);
    say(write.select, values);
    for (const auto& command : write.after_swap) say(command, values);
    take_tool(station.tool);
    const double waited = wait_at(station, began_s + plan_.machine.swap_time_s);
    clock_.pause(plan_.machine.swap_time_s + waited);
    if (station.temperature_c > 0) {
        schedule_.reached(station.tool, station.temperature_c, clock_.now_s(), waited);
    }
    if (writer_.knows_height()) writer_.restate(plan_.machine.speed.z * 60);
    fan_said_ = -1.0;
    path_back_.clear();
    ++figures_.swaps;
    figures_.swaps_s += plan_.machine.swap_time_s;
    figures_.waiting_s += waited;
    count(figures_.edits.inserted, Reason::swap,
          4 + write.before_swap.size() + write.after_swap.size());
    mark();
}

void Emitter::prime(const plan::Tool& current) {
    const double speed = current.retract.has_value() ? current.retract->restart_speed_mm_s
                                                     : plan::Retract{}.restart_speed_mm_s;
    writer_.line("; durograde: prime begins");
    move_filament(current.prime->length_mm, speed);
    writer_.line("; durograde: prime ends");
    count(figures_.edits.inserted, Reason::prime, 3);
    figures_.prime_mm3 += current.prime->length_mm * area_mm2_;
}

/// Before raw lines, and at the end: everything stands as the input had it there. Before the last
/// ones, where they `travel_bare`, the filament is drawn back: the last travel is always protected.
void Emitter::sync(const State& state, const std::shared_ptr<const program::Settings>& settings,
                   bool last, bool travels_bare) {
    go_to(state, last);
    if (!travels_bare) match_retraction(state);
    if (travels_bare) draw_back();
    if (!(writer_.frame() == state.frame)) {
        writer_.change_frame(state.frame, state.e_register);
        count(figures_.edits.inserted, Reason::frame);
    }
    const bool counts = !state.frame.e_relative || last;
    if (counts && std::abs(writer_.e_register() - state.e_register) > 1e-7) {
        writer_.set_register(state.e_register);
        count(figures_.edits.inserted, Reason::frame);
    }
    say_settings(settings, state.fan_duty, state.fan_named, state.label);
    writer_.feed(state.feed_mm_min);
}

void Emitter::go_to(const State& state, bool last) {
    if (!state.position_known() || writer_.is_at(state.position)) return;
    const double length = distance_xy(writer_.position(), state.position);
    const bool protect = last || (plan_.strings.has_value() && length > plan_.strings->gap_mm);
    const double feed = std::min(plan_.machine.speed.x, plan_.machine.speed.y) * 60;
    leave(protect);
    const double high = std::max(writer_.position().z, state.position.z);
    if (writer_.position().z < high - same_mm) lift(high);
    const Point above{state.position.x, state.position.y, high};
    if (!writer_.is_at(above)) travel(above, feed);
    if (high > state.position.z + same_mm) lift(state.position.z);
    count(figures_.edits.inserted, Reason::travel);
}

void Emitter::match_retraction(const State& state) {
    const plan::Tool* current = tool();
    const plan::Retract how =
        current != nullptr && current->retract.has_value() ? *current->retract : plan::Retract{};
    const double more = state.retracted_mm - retracted_mm_[tool_];
    if (std::abs(more) > same_mm) {
        move_filament(-more, more > 0 ? how.speed_mm_s : how.restart_speed_mm_s);
        retracted_mm_[tool_] = state.retracted_mm;
        count(figures_.edits.inserted, Reason::protection);
    }
    if (state.firmware_retracted == firmware_retracted_[tool_]) return;
    writer_.line(state.firmware_retracted ? "G10" : "G11");
    firmware_retracted_[tool_] = state.firmware_retracted;
    count(figures_.edits.inserted, Reason::protection);
}

}  // namespace durograde::grade
