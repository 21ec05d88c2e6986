#include "grade/survey.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "grade/refusal.hpp"
#include "grade/survey_reader.hpp"
#include "motion/clock.hpp"
#include "region/parts.hpp"
#include "text/relay.hpp"

namespace durograde::grade {

using program::Point;
using program::StepKind;

namespace {

constexpr double highest_mm = 5.0;  // no nozzle lays a layer as high (common practice, no source)

motion::Drive drive_of(StepKind kind) {
    if (kind == StepKind::bead) return motion::Drive::print;
    return kind == StepKind::filament ? motion::Drive::filament : motion::Drive::travel;
}

/// The feed at which the longest way is travelled along the bed.
class TravelFeeds {
  public:
    void note(double feed_mm_min, double mm) {
        if (!(mm > 0)) return;
        if (last_ >= ways_.size() || ways_[last_].first != feed_mm_min) {
            const auto found = std::find_if(ways_.begin(), ways_.end(), [&](const auto& way) {
                return way.first == feed_mm_min;
            });
            last_ = static_cast<std::size_t>(found - ways_.begin());
            if (found == ways_.end() && ways_.size() < most_feeds)
                ways_.emplace_back(feed_mm_min, 0.0);
            if (last_ >= ways_.size()) return;
        }
        ways_[last_].second += mm;
    }
    /// 0 where nothing was travelled.
    [[nodiscard]] double usual_mm_min() const {
        const auto most =
            std::max_element(ways_.begin(), ways_.end(),
                             [](const auto& a, const auto& b) { return a.second < b.second; });
        return most == ways_.end() ? 0.0 : most->first;
    }

  private:
    static constexpr std::size_t most_feeds = 64;  // programs travel at one or two
    std::vector<std::pair<double, double>> ways_;  // feed, mm
    std::size_t last_ = 0;
};

/// Second half: what the lines lead to, strokes, layers, footprint and time.
class Surveyor {
  public:
    Surveyor(Survey& survey, const plan::Machine& machine, const plan::Sheet& sheet)
        : s_(survey), sheet_(sheet), clock_(machine) {
        s_.footprint = std::make_unique<region::Footprint>(machine.reach_x, machine.reach_y);
        area_mm2_ = machine.filament_area_mm2();
    }

    void take(const SeenLines& batch) {
        for (const SeenLine& seen : batch.lines) {
            if (seen.limits >= 0) clock_.adopt(batch.limits[static_cast<std::size_t>(seen.limits)]);
            arc_ = seen.arc >= 0 ? &batch.arcs[static_cast<std::size_t>(seen.arc)] : nullptr;
            take(seen);
        }
    }

    void finish() {
        s_.time_s = clock_.now_s();
        s_.written = s_.decimals;
        s_.decimals.xy = std::clamp(s_.decimals.xy, s_.inch ? 4 : 3, 6);
        s_.decimals.z = std::clamp(s_.decimals.z, s_.inch ? 4 : 3, 6);
        s_.decimals.e = std::clamp(s_.decimals.e, s_.inch ? 6 : 5, 8);
        s_.decimals.f = std::clamp(s_.decimals.f, s_.inch ? 2 : 0, 4);
        s_.footprint->find_islands();
        tell_layers();
        if (s_.beads) s_.beads->finish();
    }

  private:
    void take(const SeenLine& seen) {
        if (seen.moves()) move(seen);
        if (seen.dwell_s > 0) clock_.pause(seen.dwell_s);
        if (seen.kind != StepKind::bead) in_stroke_ = in_stroke_ && seen.kind == StepKind::progress;
        if (stands(seen)) approach_begin_ = seen.end_offset;
    }

    /// Whether a line before the first bead that is graded stands as it is, with all before it: it
    /// sets something, feeds something, or comes before the program moves at all.
    [[nodiscard]] bool stands(const SeenLine& seen) {
        switch (seen.kind) {
            case StepKind::travel:
            case StepKind::wipe:
                moved_ = true;
                return false;
            case StepKind::filament:
                return seen.primes;
            case StepKind::blank:
            case StepKind::comment:
            case StepKind::progress:
                return !moved_;
            default:
                return true;
        }
    }

    void move(const SeenLine& seen) {
        const bool filament_only = seen.kind == StepKind::filament;
        const double dx = seen.to.x - seen.from.x, dy = seen.to.y - seen.from.y;
        const double dz = seen.to.z - seen.from.z;
        const double length = filament_only     ? std::abs(seen.e_mm)
                              : arc_ != nullptr ? std::hypot(arc_->length_mm(), dz)
                                                : std::sqrt(dx * dx + dy * dy + dz * dz);
        clock_.set_speed_factor(seen.speed_factor);
        const bool by_machine = filament_only && seen.e_mm == 0.0;
        if (by_machine) clock_.machine_retraction(seen.firmware_retracted, plan::Retract{});
        const motion::Move move{
            dx, dy, dz, seen.e_mm, length, seen.feed_mm_min, drive_of(seen.kind)};
        arc_ != nullptr ? clock_.move(move, motion::bend_of(*arc_, seen.from, seen.to))
                        : clock_.move(move);
        if (seen.kind == StepKind::travel) {
            s_.travel_mm += length;
            if (seen.feed_mm_min > 0) travel_feeds_.note(seen.feed_mm_min, std::hypot(dx, dy));
            way_z_mm_ = std::max(way_z_mm_, seen.to.z);
        }
        const bool draws_back = seen.e_mm < 0 || (filament_only && seen.firmware_retracted);
        if (draws_back && !retracting_) ++s_.retractions;
        // A line that says a feed alone moves nothing, and parts no retraction from its second
        // half.
        if (draws_back || length > 0) retracting_ = draws_back;
        note_box(seen);
        if (seen.kind == StepKind::bead) bead(seen, length);
    }

    void bead(const SeenLine& seen, double length) {
        if (!in_stroke_) begin_stroke(seen);
        in_stroke_ = true;
        s_.bead_length_mm += length;
        s_.filament_mm += seen.e_mm;
        if (seen.to.z != seen.from.z && sloped_.size() < most_sloped)
            sloped_.push_back({(seen.from.x + seen.to.x) / 2, (seen.from.y + seen.to.y) / 2});
        note_set_point(seen);
        s_.low_x = std::min({s_.low_x, seen.from.x, seen.to.x});
        s_.low_y = std::min({s_.low_y, seen.from.y, seen.to.y});
        s_.high_x = std::max({s_.high_x, seen.from.x, seen.to.x});
        s_.high_y = std::max({s_.high_y, seen.from.y, seen.to.y});
        s_.high_z = std::max(s_.high_z, seen.to.z);
        s_.last_bead_end = seen.end_offset;
        way_z_mm_ = last_z_mm_ = seen.to.z;
        paint(seen);
    }

    void note_clearance() {
        const double mm = way_z_mm_ - s_.high_z;
        if (mm > 0 && (!has_clearance_ || mm < s_.clearance_mm)) s_.clearance_mm = mm;
        has_clearance_ = has_clearance_ || mm > 0;
    }

    /// Where it goes, printing or not, once it is said.
    void note_box(const SeenLine& seen) {
        s_.way_low = {std::min(s_.way_low.x, seen.to.x), std::min(s_.way_low.y, seen.to.y),
                      std::min(s_.way_low.z, seen.to.z)};
        s_.way_high = {std::max(s_.way_high.x, seen.to.x), std::max(s_.way_high.y, seen.to.y),
                       std::max(s_.way_high.z, seen.to.z)};
    }

    void note_set_point(const SeenLine& seen) {
        if (!s_.tools.empty() && seen.tool == last_tool_ && seen.set_point_c == last_set_c_) return;
        last_tool_ = seen.tool;
        last_set_c_ = seen.set_point_c;
        auto tool = std::find_if(s_.tools.begin(), s_.tools.end(),
                                 [&](const Survey::Tool& t) { return t.number == seen.tool; });
        if (tool == s_.tools.end()) tool = s_.tools.insert(tool, {seen.tool, {}});
        std::vector<double>& set = tool->set_points_c;
        if (std::find(set.begin(), set.end(), seen.set_point_c) == set.end())
            set.push_back(seen.set_point_c);
    }

    void begin_stroke(const SeenLine& seen) {
        const double z = seen.from.z;
        // A stroke that goes on at the height at which the last ended begins no layer: one that
        // rises may be broken by a comment.
        if (z != last_z_mm_ && layers_.begins(z)) {
            if (z < z_mm_ && layers_.runs() > 1) note_clearance();
            const double rise = layers_.layer() > 0 ? z - z_mm_ : 0.0;
            if (rise > 0 && rise < highest_mm) ++rises_[std::lround(rise * 1e4)];
            s_.footprint->begin_layer(rise, seen.end_offset);
            lowest_z_mm_ = std::min(lowest_z_mm_, z);
            if (s_.beads) s_.beads->begin_layer(z);
            z_mm_ = z;
        }
        ++s_.strokes;
        s_.e_relative = seen.e_relative;
        if (s_.early.size() >= Survey::early_limit) return;
        const Point middle = arc_ != nullptr ? along(*arc_, seen.from, seen.to, 0.5)
                                             : between(seen.from, seen.to, 0.5);
        s_.early.push_back({middle.x, middle.y, seen.label, approach_begin_});
    }

    void paint(const SeenLine& seen) {
        s_.labels.note(seen.label, (seen.from.x + seen.to.x) / 2, (seen.from.y + seen.to.y) / 2);
        if (!sheet_.takes(seen.label)) return s_.footprint->note(seen.from, seen.to);
        const double volume = seen.e_mm * area_mm2_;
        if (arc_ == nullptr) {
            s_.footprint->paint(seen.from, seen.to, volume);
            if (s_.beads) s_.beads->add(seen.from, seen.to, volume);
        } else {
            s_.footprint->paint(seen.from, seen.to, *arc_, volume);
            if (s_.beads) s_.beads->add(seen.from, seen.to, *arc_, volume);
        }
    }

    /// How many layers there are, the commonest step between them, and the beads' width by it.
    void tell_layers() {
        const region::Footprint& footprint = *s_.footprint;
        const region::Sequence sequence = region::sequence_of(footprint);
        s_.layer_runs = layers_.runs() - sequence.layers_before;
        s_.parts_in_sequence = sequence.one_by_one;
        s_.sloped = region::any_on_part(footprint, sloped_);
        for (const region::Footprint::Restart& restart : footprint.restarts()) {
            s_.first_layers.push_back(restart.where);
            if (restart.rise_mm > 0 && restart.rise_mm < highest_mm)
                --rises_[std::lround(restart.rise_mm * 1e4)];
        }
        long most = 0;
        for (const auto& [rise, count] : rises_) {
            if (count <= most) continue;
            most = count;
            s_.layer_height_mm = static_cast<double>(rise) * 1e-4;
        }
        if (most == 0) s_.layer_height_mm = layers_.runs() > 0 ? lowest_z_mm_ : 0.0;
        s_.bead_width_mm = footprint.bead_width_mm();
        s_.travel_feed_mm_min = travel_feeds_.usual_mm_min();
    }

    Survey& s_;
    const plan::Sheet& sheet_;
    motion::Clock clock_;
    program::LayerCounter layers_;
    std::map<long, long> rises_;  ///< how often a layer lies how far above the last, in 0.1 µm
    double area_mm2_ = 0.0, z_mm_ = 0.0, lowest_z_mm_ = 1e30, last_z_mm_ = -1e30;
    std::vector<region::FlatPoint> sloped_;  ///< middles of beads along which height changes
    static constexpr std::size_t most_sloped = 10'000;
    int last_tool_ = 0;
    double last_set_c_ = 0.0;
    const program::Arc* arc_ = nullptr;  ///< of the line being taken
    TravelFeeds travel_feeds_;
    double way_z_mm_ = 0.0;  ///< the highest since the last bead
    bool has_clearance_ = false;
    std::uint64_t approach_begin_ = 0;
    bool in_stroke_ = false, retracting_ = false, moved_ = false;
};

}  // namespace

Survey survey(LineSource& source, const program::Dialect& dialect, const plan::Machine& machine,
              const plan::Sheet& sheet, bool keeps_beads) {
    Survey result;
    result.decimals = {0, 0, 0, 0};
    if (keeps_beads) result.beads = std::make_unique<region::BeadLog>();
    Surveyor surveyor(result, machine, sheet);
    {
        SurveyReader reader(source, dialect, machine, result);
        Relay<SeenLines> batches([&](SeenLines& batch) { return reader.fill(batch); });
        while (const SeenLines* batch = batches.next()) surveyor.take(*batch);
        reader.finish();
    }
    if (result.lines == 0) {
        throw refusal(source.name(), "empty-input", "the input is empty", "give a sliced program");
    }
    surveyor.finish();
    return result;
}

}  // namespace durograde::grade
