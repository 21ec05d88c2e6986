#include <algorithm>
#include <cmath>
#include <utility>

#include "grade/emitter.hpp"

/// New ways between pieces: retract, wipe and hop where they must not string.
namespace durograde::grade {

namespace {

constexpr double same_mm = 1e-6;

}  // namespace

/// New ways go as fast as the tool says, or as the program itself mostly does.
double Emitter::travel_feed() const {
    const double most = plan_.machine.fastest_mm_min();
    if (travel_->speed_mm_s) return std::min(most, *travel_->speed_mm_s * 60);
    return survey_.travel_feed_mm_min > 0 ? std::min(most, survey_.travel_feed_mm_min) : most;
}

void Emitter::travel(const Point& to, double feed_mm_min) {
    // After a change of tools the nozzle comes from about where it was.
    const bool comes_from_there = writer_.knows_position() || std::exchange(has_stood_, false);
    const Point from = comes_from_there ? writer_.position() : to;
    clock_.move({to.x - from.x, to.y - from.y, to.z - from.z, 0.0, distance(from, to), feed_mm_min,
                 motion::Drive::travel});
    note_open_air(from, to);
    writer_.travel(to, feed_mm_min);
    mark_if_due();
}

void Emitter::note_open_air(const Point& from, const Point& to) {
    if (cover_ == nullptr) return;
    const double open_mm = cover_->open_air(from, to).total_mm;
    const bool drawn_back = retracted_mm_[tool_] > 0 || firmware_retracted_[tool_];
    figures_.open_air.add(origin_, {0.0, open_mm, drawn_back ? 0.0 : open_mm});
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
    note_filament(e_mm, firmware_retracted_[tool_]);
}

void Emitter::time_machine_retraction(bool draws) {
    clock_.machine_retraction(draws, travel_->retract.value_or(plan::Retract{}));
}

/// Filament has moved. What the machine retracts by itself is as long as the tool's own.
void Emitter::note_filament(double e_mm, bool by_firmware) {
    double& retracted = retracted_mm_[tool_];
    bool& firmware = firmware_retracted_[tool_];
    const double own_mm = travel_->retract ? travel_->retract->length_mm : 0.0;
    const double fed_mm = tool_figures_->filament_mm;
    if (by_firmware != firmware) time_machine_retraction(by_firmware);
    if (by_firmware && !firmware) wear_[tool_].draw(fed_mm, 0.0, own_mm);
    if (e_mm < 0) wear_[tool_].draw(fed_mm, retracted, retracted - e_mm);
    const double beyond_mm = std::max(0.0, e_mm - retracted);
    tool_figures_->filament_mm += beyond_mm;
    figures_.restart_mm3 += beyond_mm * area_mm2_;
    firmware = by_firmware;
    retracted = std::max(0.0, retracted - e_mm);
    if (retracted < same_mm) retracted = 0.0;
}

/// Before a travel (to `to`, where that is known), or before the tool is put away: retract, wipe,
/// hop, as far as the tool does them. It hops only over what it could hit.
void Emitter::leave(bool protect, bool puts_away, const Point* to) {
    hopped_ = protect;
    if (protect && tool() != nullptr) {
        draw_back_moving(puts_away);
        const bool is_drawn_back = retracted_mm_[tool_] > 0 || firmware_retracted_[tool_];
        if (plan_.strings && is_drawn_back) ++figures_.protected_travels;
    }
    if (must_clear(puts_away ? nullptr : to)) {
        hopped_ = true;
        if (!writer_.knows_height() || writer_.position().z >= clear_z_mm() - same_mm) return;
        return insert(Reason::protection, [&] { lift(clear_z_mm()); });
    }
    if (!protect || tool() == nullptr) return;
    if (!travel_->hop_mm || !writer_.knows_height()) return;
    const bool is_known = !puts_away && to != nullptr && cover_ != nullptr && !may_hit_all_ &&
                          to->z <= writer_.position().z;
    hopped_ = !is_known || cover_->hits(writer_.position(), *to);
    if (!hopped_) return;
    const double z = std::min(writer_.position().z + *travel_->hop_mm, plan_.machine.reach_z.high);
    if (z <= writer_.position().z + same_mm) return;
    lift(z);
    count(figures_.edits.inserted, Reason::protection);
}

/// Whether finished parts stand higher than the layer being printed, and the way that comes now
/// leads away from its part: it goes over all of them. Or whether a pillar stands in the straight
/// way `to`; where that is not known, any does.
bool Emitter::must_clear(const Point* to) const {
    const double z_mm =
        writer_.knows_height() ? std::min(layer_z_mm_, writer_.position().z) : layer_z_mm_;
    if (leaves_part_ && highest_mm_ > z_mm + same_mm) return true;
    if (!pillars_) return false;
    const bool is_known = to != nullptr && writer_.knows_position();
    const double pillar_mm = is_known ? pillars_->highest_mm(writer_.position(), *to) : highest_mm_;
    return pillar_mm > z_mm + same_mm;
}

double Emitter::clear_z_mm() const {
    const double hop_mm = travel_->hop_mm.value_or(0.0);
    return std::min(highest_mm_ + std::max(survey_.clearance_mm, hop_mm),
                    std::max(plan_.machine.reach_z.high, highest_mm_));
}

/// Retracts and wipes along the path just printed, so that what hangs on the nozzle stays on the
/// part; the plan's share of the retraction is retracted on the way. A tool that is put away
/// returns to that path first, where it stands elsewhere.
void Emitter::draw_back_moving(bool puts_away) {
    const bool wipes = travel_->wipe && !wipe_path_.empty();
    const Point end{wipe_path_.end().x, wipe_path_.end().y, writer_.position().z};
    const bool returns = wipes && !writer_.is_at(end);
    if (!wipes || (returns && !puts_away)) return draw_back();
    if (draws_by_machine()) draw_back_by_machine();
    const double all_mm = missing_mm();
    double moving_mm = all_mm > 0 && !returns
                           ? std::min(all_mm, retract()->length_mm * travel_->wipe->retract_share)
                           : 0.0;
    // It wipes at the height at which that path was printed: a part may have been finished since.
    const double z_mm = returns && must_clear(&end) ? wipe_path_.end().z : writer_.position().z;
    const std::vector<Point> corners = wipe_corners(travel_->wipe->length_mm, z_mm);
    double way_mm = 0.0;
    const Point* at = &end;
    for (const Point& corner : corners) {
        way_mm += distance_xy(*at, corner);
        at = &corner;
    }
    // What is too little for a line of its own goes with the rest.
    if (way_mm > 0 && moving_mm > 0 && all_mm - moving_mm < writer_.least_filament_mm())
        moving_mm = all_mm;
    const double still_mm = all_mm - (way_mm > 0 ? moving_mm : 0.0);
    if (still_mm > same_mm) {
        move_filament(-still_mm, retract()->speed_mm_s);
        count(figures_.edits.inserted, Reason::protection);
    }
    double feed = travel_->wipe->speed_mm_s * 60;
    if (returns) return_to(end, feed);
    if (moving_mm > 0) feed = std::min(feed, retract()->speed_mm_s * 60 * way_mm / moving_mm);
    at = &end;
    for (const Point& corner : corners) {
        wipe_to(corner, moving_mm * distance_xy(*at, corner) / way_mm, feed);
        at = &corner;
    }
    wipe_path_.clear();
}

/// Over finished parts, where they stand higher, down to the height at which it was printed.
void Emitter::return_to(const Point& end, double feed_mm_min) {
    if (!must_clear(&end)) return wipe_to(end, 0.0, feed_mm_min);
    insert(Reason::protection, [&] {
        lift(clear_z_mm());
        travel({end.x, end.y, clear_z_mm()}, travel_feed());
        lift(wipe_path_.end().z);
    });
}

/// The corners of a wipe at a height, as they can be written.
std::vector<program::Point> Emitter::wipe_corners(double length_mm, double z_mm) const {
    std::vector<Point> corners;
    Point at = wipe_path_.end();
    for (const Point& corner : wipe_path_.way()) {
        const double mm = distance_xy(at, corner);
        if (length_mm <= same_mm) break;
        if (mm <= same_mm) continue;
        Point to = writer_.rounded(between(at, corner, std::min(1.0, length_mm / mm)));
        to.z = z_mm;
        if (corners.empty() ? !writer_.is_at(to) : !(to == corners.back())) corners.push_back(to);
        length_mm -= mm;
        at = corner;
    }
    return corners;
}

/// A move of a wipe, on which `e_mm` are retracted.
void Emitter::wipe_to(const Point& to, double e_mm, double feed_mm_min) {
    count(figures_.edits.inserted, Reason::protection);
    if (!(e_mm > 0)) return travel(to, feed_mm_min);
    const Point from = writer_.position();
    clock_.move({to.x - from.x, to.y - from.y, to.z - from.z, -e_mm, distance(from, to),
                 feed_mm_min, motion::Drive::travel});
    note_filament(-e_mm, firmware_retracted_[tool_]);
    note_open_air(from, to);
    writer_.bead(to, -e_mm, feed_mm_min);
}

/// After leaving: over to `to`, above what could be hit, then down and restart.
void Emitter::arrive(const Point& to, double feed_mm_min, bool hops) {
    if (!writer_.knows_position() && writer_.frame().relative) {
        // No increment leads from an unknown place to a known one.
        program::Frame absolute = writer_.frame();
        absolute.relative = false;
        writer_.change_frame(absolute, writer_.e_register());
        count(figures_.edits.inserted, Reason::frame);
    }
    const double hop_mm = hops ? travel_->hop_mm.value_or(0.0) : 0.0;
    double high = std::min(to.z + hop_mm, std::max(plan_.machine.reach_z.high, to.z));
    if (writer_.knows_height()) high = std::max(high, writer_.position().z);
    if (must_clear(&to)) high = std::max(high, clear_z_mm());
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

/// Restarts what is retracted, down to what may stay so, and feeds what is owed.
void Emitter::restart(double down_to_mm, bool stays_by_firmware) {
    if (firmware_retracted_[tool_] && !stays_by_firmware) {
        writer_.line("G11");
        time_machine_retraction(false);
        firmware_retracted_[tool_] = false;
        count(figures_.edits.inserted, Reason::protection);
    }
    const double retracted = retracted_mm_[tool_] - down_to_mm;
    const plan::Retract how = retract() != nullptr ? *retract() : plan::Retract{};
    if (retracted >= same_mm) {
        move_filament(retracted + (retract() != nullptr ? how.restart_mm : 0.0),
                      how.restart_speed_mm_s);
        count(figures_.edits.inserted, Reason::protection);
    }
    if (owed_mm_ < same_mm) return;
    move_filament(std::exchange(owed_mm_, 0.0), how.restart_speed_mm_s);
    count(figures_.edits.inserted, Reason::protection);
}

}  // namespace durograde::grade
