#pragma once

#include <memory>
#include <span>

#include "grade/block.hpp"
#include "grade/figures.hpp"
#include "grade/filament_wear.hpp"
#include "grade/flow_spread.hpp"
#include "grade/order.hpp"
#include "grade/printed_heights.hpp"
#include "grade/survey.hpp"
#include "grade/swap_reading.hpp"
#include "grade/wipe_path.hpp"
#include "grade/work.hpp"
#include "heat/schedule.hpp"
#include "motion/clock.hpp"
#include "program/writer.hpp"

namespace durograde::grade {

/// Writes spans: raw lines as they are, pieces in the order of their visits, and between pieces
/// either the input's own approach or a new one. Keeps clock, heat schedule and figures up to date
/// on the way.
class Emitter {
  public:
    /// All arguments must outlive the emitter.
    Emitter(const plan::Plan& plan, const Survey& survey, heat::Timeline& timeline,
            Figures& figures);

    /// Brings the output to where the input was before the span's raw lines, and copies those.
    void begin_span(const program::Span& span, bool epilogue);
    /// Writes the pieces of a span in the order of `visits`.
    void write_visits(Work& work, const std::vector<Visit>& visits);
    /// The prologue stands written, and the program has `said` so much in it: from here on commands
    /// may be put in.
    void begin_grading(const program::Said& said);
    /// All is written; the input ended in `state`. Where it ended without lines of its own behind
    /// its beads, the output is brought to where it ended. Everything off.
    void finish(const program::State& state,
                const std::shared_ptr<const program::Settings>& settings);

    [[nodiscard]] const program::Writer& writer() const noexcept { return writer_; }
    [[nodiscard]] double now_s() const { return clock_.now_s(); }
    /// The station that stands ready, or -1.
    [[nodiscard]] int ready_station() const noexcept { return station_; }
    /// The tool in use, or unknown_tool where none is certain to be.
    [[nodiscard]] int tool_number() const noexcept {
        return tool_in_doubt_ ? program::unknown_tool : tool_;
    }
    [[nodiscard]] const heat::Schedule& schedule() const noexcept { return schedule_; }
    /// Seconds of printing by zone, and those outside the parts under region::no_zone.
    [[nodiscard]] const std::map<int, double>& zone_seconds() const noexcept { return zone_s_; }
    /// Filament left unextruded by coasting, mm, by zone and part.
    [[nodiscard]] const std::map<std::pair<int, int>, double>& coasted_mm() const noexcept {
        return coasted_mm_;
    }
    /// The flows of each zone, and of what lies outside the parts under region::no_zone.
    [[nodiscard]] const std::map<int, FlowSpread>& flows() const noexcept { return flows_; }
    /// What retractions have done to the filament of each tool.
    [[nodiscard]] const std::map<int, FilamentWear>& wear() const noexcept { return wear_; }

  private:
    using Point = program::Point;
    static constexpr std::int64_t out_of_step = -2;
    static const plan::Travel no_travel;  ///< of a tool that the plan does not know

    // emitter.cpp: spans and pieces
    void end_grading();
    void stand_printed(const program::Step& step);
    void write_piece(const program::Span& span, const Piece& piece, const Piece* next);
    void finish_tail(const program::Span& span);
    // raw_lines.cpp: lines that stand as the input has them
    void adopt(const program::Span& span);
    void copy_raw(const program::Span& span, std::string_view raw);
    void take_retraction(int number, const program::State& state);
    void raw_step(const program::Step& step);
    void time_step(const program::Step& step);

    // account.cpp: filament and time where they belong
    void account_layer(const program::Span& span, std::size_t pieces, double began_s, long swaps);
    void account_piece(const Piece& piece, double seconds);
    void account_coasted(const program::Span& span, const Piece& piece, double fed_mm);
    void account_raw(const program::Span& span);
    void account_raw(const program::Step& step);

    // beads.cpp
    void print(const program::Span& span, const Piece& piece, bool covers);
    void write_beads(const program::Span& span, const Piece& piece);
    void write_beads_back(const program::Span& span, const Piece& piece);
    void write_segment(const program::Span& span, const program::Stroke& stroke,
                       std::uint32_t index, double flow, bool follows);
    /// Of a segment, from one share of its length to another; backwards where that is smaller.
    struct Stretch {
        double from = 0.0, to = 1.0;
        Point end;
    };
    void write_stretch(const program::Span& span, const program::Stroke& stroke,
                       std::uint32_t index, const Stretch& stretch, double flow);
    void count_stretch(std::uint64_t lines_before, bool begins_line, Reason reason);
    void time_bead(const Point& from, const Point& to, const program::Arc* arc, double length_mm,
                   double e_mm, double feed_mm_min);
    [[nodiscard]] double steady_feed(double feed_mm_min, double e_mm, double length_mm) const;

    // coast.cpp: pieces whose last is not extruded
    [[nodiscard]] bool will_protect(const program::Span& span, const Piece& piece,
                                    const Piece* next);
    [[nodiscard]] region::Cut coast_place(const program::Span& span, const Piece& piece) const;
    void write_coasting(const program::Span& span, const Piece& piece);

    // approach.cpp: what comes between pieces
    /// How a piece is reached with the tool in use.
    struct Way {
        bool stands = false;           ///< by the input's own lines
        bool protect = false;          ///< retracted, wiped, above what could be hit
        std::vector<Point> corners{};  ///< on a way over beads, between its ends
    };
    [[nodiscard]] Way way_to(const program::Span& span, const Piece& piece, const Point& from);
    [[nodiscard]] std::vector<Point> detour(const Point& from, const Point& to) const;
    void approach(const program::Span& span, const Piece& piece);
    [[nodiscard]] bool follows_input(const program::Span& span, const Piece& piece) const;
    [[nodiscard]] bool may_go_bare(std::span<const Point> way) const;

    // keep.cpp: the input's own lines
    [[nodiscard]] bool may_stand(const program::Span& span, std::uint32_t first,
                                 std::uint32_t last);
    [[nodiscard]] double own_retraction_mm() const;
    [[nodiscard]] bool is_as_good(double retracted_mm, double wiped_mm) const;
    void keep_items(const program::Span& span, std::uint32_t first, std::uint32_t last);
    void keep_item(const program::Span& span, const program::Item& item);
    void say_count();
    void keep_move(const program::Span& span, const program::Item& item);
    void drop_items(const program::Span& span, std::uint32_t first, std::uint32_t last);

    // conditions.cpp: settings, label and fan
    /// What the input has said of the part fan.
    struct Fan {
        double duty = 0.0;
        long said_at = 0;  ///< see program::State
        bool named = false;
    };
    void say_settings(const std::shared_ptr<const program::Settings>& settings, const Fan& fan,
                      int label);
    bool say_fan(double asked);
    [[nodiscard]] double fan_within_range(double duty) const;

    // protect.cpp: retract, wipe, hop
    void leave(bool protect, bool puts_away = false, const Point* to = nullptr);
    [[nodiscard]] const plan::Retract* retract() const;
    [[nodiscard]] bool draws_by_machine() const;
    void draw_back_by_machine();
    void note_inputs_retraction(bool by_machine, double e_mm, double feed_mm_min);
    void note_inputs_retractions(const program::Span& span, std::uint32_t begin, std::uint32_t end);
    void draw_back_moving(bool puts_away);
    [[nodiscard]] std::vector<Point> wipe_corners(double length_mm, double z_mm) const;
    void return_to(const Point& end, double feed_mm_min);
    void wipe_to(const Point& to, double e_mm, double feed_mm_min);
    void arrive(const Point& to, double feed_mm_min, bool hops);
    void restart(double down_to_mm = 0.0, bool stays_by_firmware = false);
    void draw_back();
    [[nodiscard]] double missing_mm();
    void travel(const Point& to, double feed_mm_min);
    [[nodiscard]] Origin origin_of(const Piece& piece) const {
        return {piece.zone, piece.part, stations_[piece.station].temperature_c};
    }
    void note_open_air(const Point& from, const Point& to);
    void lift(double z_mm);
    [[nodiscard]] bool must_clear(const Point* to) const;
    [[nodiscard]] double clear_z_mm() const;
    [[nodiscard]] double travel_feed() const;
    void move_filament(double e_mm, double speed_mm_s);
    void note_filament(double e_mm, bool by_firmware);
    void time_machine_retraction(bool draws);
    void wait_as_sliced(int tool);

    // swap.cpp: another tool or temperature
    void change_to(const Piece& piece);
    [[nodiscard]] bool must_change(const Piece& piece) const;
    void swap_to(const Station& station);
    // around_swap.cpp: the plan's own lines
    double select(int number, const grammar::SlotValues& values);
    void begin_swap_lines();
    void write_swap_lines(const std::vector<plan::SwapLine>& lines,
                          const grammar::SlotValues& values);
    void take_swap_step(const program::Step& step, const plan::SwapLine& line,
                        const std::string& text);
    void check_clear(const program::Step& step, const plan::SwapLine& line,
                     const std::string& text) const;
    void go_to_spot(double feed_mm_min);
    void change_temperature(const Station& station);
    double wait_at(const Station& station, double need_s);
    void prime(const plan::Tool& current);
    [[nodiscard]] double prime_mm(const plan::Tool& current) const;
    void say(const grammar::CommandTemplate& command, const grammar::SlotValues& values);
    // block_visit.cpp: the purge block
    void raise_block(const program::Span& span);
    void lay_on_block(double length_mm);
    void print_on_block(double length_mm);
    void prime_on_block(double e_mm, double feed_mm_min);

    // restate.cpp: what a swap or an unknown command may have changed
    void restate_after_swap(double safe_z_mm);
    void restate_after_barrier();

    // rejoin.cpp: back to where the input stands
    /// How the output comes back to where the input stands.
    struct Rejoin {
        bool is_last = false;       ///< before the program's last lines
        bool needs_place = true;    ///< the nozzle goes to where it stood
        bool travels_bare = false;  ///< the lines travel before they retract, and feed nothing
        bool feeds = false;         ///< the lines feed in place before they retract
    };
    [[nodiscard]] Rejoin rejoin_before(const std::vector<program::Step>& steps, bool is_last) const;
    void sync(const program::State& state, const std::shared_ptr<const program::Settings>& settings,
              Rejoin how);
    void go_to(const program::State& state, bool last);
    void match_retraction(const program::State& state);
    /// The tool in use, or null where the plan does not know it.
    [[nodiscard]] const plan::Tool* tool() const noexcept { return current_tool_; }
    void take_tool(int number);
    void take_travel(const Piece& piece);
    void count(std::array<std::uint64_t, reason_count>& list, Reason reason, std::uint64_t n = 1) {
        list[static_cast<std::size_t>(reason)] += n;
    }
    /// Counts what `write` puts in, line by line.
    template <typename Write>
    void insert(Reason reason, Write write) {
        const std::uint64_t before = writer_.lines();
        write();
        count(figures_.edits.inserted, reason, writer_.lines() - before);
    }
    void mark();
    void mark_if_due();

    const plan::Plan& plan_;
    const Survey& survey_;
    heat::Timeline& timeline_;
    Figures& figures_;
    program::Writer writer_;
    motion::Clock clock_;
    heat::Schedule schedule_;
    double area_mm2_;

    std::map<int, double> zone_s_;
    std::map<std::pair<int, int>, double> coasted_mm_;  ///< by zone and part
    std::map<int, double> raw_drawn_mm_;  ///< by tool: retracted while raw lines go by
    std::map<int, FlowSpread> flows_;     ///< by zone
    FlowSpread* flow_spread_ = nullptr;   ///< of the piece being written
    int station_ = -1;
    int tool_ = 0;
    int known_tool_ = 0;          ///< the last one that the plan knows
    bool tool_in_doubt_ = false;  ///< none was selected yet, or some command may have changed it
    bool heat_in_doubt_ = false;  ///< a set-point was given while it was: to which is not known
    bool input_draws_by_machine_ = false;  ///< by G10
    const plan::Tool* current_tool_ = nullptr;
    /// By tool: how it goes from the beads that it printed last.
    std::map<int, const plan::Travel*> travels_;
    const plan::Travel* travel_ = &no_travel;  ///< of the tool in use
    ToolFigures* tool_figures_ = nullptr;      ///< of the tool in use
    /// Of a tool without a retraction of its own: how the input retracts.
    std::optional<plan::Retract> inputs_retract_;
    std::map<int, bool> moved_by_lines_;  ///< by tool: its filament, around swaps
    std::map<int, double> retracted_mm_;
    std::map<int, bool> firmware_retracted_;  ///< by tool: the machine's own G10 without its G11
    double oozed_mm3_ = 0.0;                  ///< by the tool in use before it was taken
    double restarts_mm_ = 0.0;                ///< along the first bead of the piece being written
    double owed_mm_ = 0.0;                    ///< that the input fed in lines which were dropped
    std::map<int, FilamentWear> wear_;        ///< by tool
    std::shared_ptr<const program::Settings> settings_ = std::make_shared<program::Settings>();
    double fan_said_ = -1.0;
    long barriers_ = 0;         ///< commands that may have changed anything, written so far
    long fan_said_at_ = 0;      ///< so many of them stood before the fan was said
    bool restate_due_ = false;  ///< a command went by that may have changed anything
    bool has_stood_ = false,
         is_place_lost_ = false;  ///< known before a swap; lost, nothing printed since
    bool all_settings_stale_ = false, count_stale_ = false;  ///< since a swap or such a command
    int label_ = -1;
    std::int64_t last_stroke_ = -1;  ///< completed last, or `out_of_step`
    WipePath wipe_path_;
    std::optional<SwapReading> swap_reading_;  ///< where lines around a swap say numbers
    std::optional<PrintedHeights> heights_;    ///< likewise: what they could go through
    std::optional<Block> block_;               ///< where the plan primes on one
    Origin origin_;                            ///< of the travels that come now
    std::vector<Point> way_;                   ///< of a kept travel
    region::Cover* cover_ = nullptr;           ///< of the span being written
    bool coasted_ = false;                     ///< the way that comes now must be protected
    bool hopped_ = false;                      ///< on the way that is being taken
    const bool some_tool_hops_;
    bool may_hit_all_ = true;  ///< beads that the cover does not know stand as high
    bool leaves_part_ = true;  ///< the way that comes now leads away from the part
    bool grading_ = false;
    double highest_mm_ = -1e9;               ///< that beads of earlier spans reach
    std::optional<PrintedHeights> pillars_;  ///< what is laid straight up
    double layer_z_mm_ = 0.0;                ///< of the span being written
    Stations stations_;                      ///< as of that span
    std::uint64_t advanced_at_ = 0;
    double marked_s_ = -1.0;
};

}  // namespace durograde::grade
