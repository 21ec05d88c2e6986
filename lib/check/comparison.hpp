#pragma once

#include <string>

#include "check/balance_watch.hpp"
#include "check/bead_watch.hpp"
#include "check/block_watch.hpp"
#include "check/clock.hpp"
#include "check/coverage.hpp"
#include "check/filament_watch.hpp"
#include "check/first_look.hpp"
#include "check/heat_watch.hpp"
#include "check/hit_watch.hpp"
#include "check/layer_reader.hpp"
#include "check/line_watch.hpp"
#include "check/ooze_bounds.hpp"
#include "check/progress_watch.hpp"
#include "check/setting_watch.hpp"
#include "check/swap_watch.hpp"
#include "check/travel_watch.hpp"
#include "check/zoning.hpp"
#include "text/relay.hpp"

namespace durograde::check {

/// Reads input and output side by side, layer by layer, and lets every watch see what concerns it.
class Comparison {
  public:
    /// `before` and `after` stand at their begins; all arguments must outlive the comparison.
    Comparison(const plan::Plan& plan, const FirstLook& look, region::Depth* depth, Reader& before,
               Reader& after, Ledger& ledger);

    void run();

  private:
    // The output's lines, by what they do.
    bool next_line();
    void see_line();
    void see_bead();
    void see_match(const Match& match);
    void see_move();
    void see_command();
    void see_heat();
    void see_tool();
    void see_fed_in_place();
    void see_pin(const std::string& text, const Standing& standing, std::uint64_t line,
                 bool feeds = false);
    void see_comment();
    void see_end();
    void begin_swap();
    bool see_swap_line();
    void lose_place();
    void end_swap();
    [[nodiscard]] bool is_spelled_out(Said& said, bool& waits, bool& cools) const;

    // Layers of the input, and spans between pins.
    bool read_layer(Layer& layer);
    void begin_layer();
    void end_layer();
    void open_span();
    void begin_piece(const Match& match, const Stroke& stroke);
    void extend_piece(const Match& match);
    void note_stray(std::uint64_t off);
    void judge_strays();
    void end_piece();
    void leave_out_restart(const Match& match, const Stroke& stroke);
    void judge_said(const Stroke& stroke, Lines lines);

    [[nodiscard]] bool covers_begin(const Match& match, const Stroke& stroke) const;
    void see_block_bead();
    bool coasts();
    void end_coasting(bool by_retraction);
    [[nodiscard]] Manner manner() const;
    [[nodiscard]] Lines lines(std::uint64_t input) const { return {input, after_.raw().number}; }

    const plan::Plan& plan_;
    const FirstLook& look_;
    Reader& after_;
    Ledger& ledger_;

    Layer layer_;
    LayerReader layer_reader_;
    Zoning zoning_;
    Coverage coverage_;
    std::size_t next_pin_ = 0;
    std::uint32_t span_begin_ = 0;
    bool has_layer_ = false;
    Relay<Layer> layers_;  ///< last of what it works with, so that it ends first

    bool steadies_;  ///< flows are kept within bands or limits of zones or of the material
    Precision precision_;
    Frame frame_;
    Clock clock_;
    OpenAir open_air_;
    LineWatch line_watch_;
    BeadWatch bead_watch_;
    BlockWatch block_watch_;
    HeatWatch heat_watch_;
    Travels travels_;
    OozeBounds ooze_;
    BalanceWatch balance_;
    FilamentWatch filament_watch_;
    TravelWatch travel_watch_;
    HitWatch hit_watch_;
    SettingWatch setting_watch_;
    SwapWatch swap_watch_;
    ProgressWatch progress_watch_;

    /// Where the plan's own lines around a swap begin.
    struct SwapFrom {
        State state;
        Retractions::Drawn drawn;
        bool is_place_lost = false;  ///< since: by the selection, or a command nobody knows
    };
    SwapFrom swap_from_;

    SayingLog sayings_;
    NoteLog notes_;
    Point noted_at_;                 ///< where the output's nozzle stood at the last of them
    std::uint64_t loose_notes_ = 0;  ///< of the input, less those of the output
    Act restarted_;                  ///< a bead without what restarts along it
    const Act* bead_ = nullptr;      ///< the output's last
    /// The piece being printed.
    struct Piece {
        std::uint64_t notes = 0;  ///< before it
        std::uint32_t stroke = 0;
        bool begins_stroke = false, any = false;
        bool comes_first = false;  ///< of all that the plan grades
        bool is_short = false;     ///< what comes before it of its stroke is too little for a bead
        Point noted_at;            ///< where the nozzle stood at the last of its comments
        Lines lines;
    };
    Piece piece_;
    /// Comments that stand before a piece and do not belong there, or are missing.
    struct Stray {
        std::uint64_t notes = 0;
        Lines lines;
        bool is_short = false;
        std::uint32_t stroke = 0;
        Point noted_at;
    };
    std::vector<Stray> strays_;
    bool in_first_layer_ = false;       ///< that the plan grades something of
    std::uint64_t prologue_notes_ = 0;  ///< before the first piece, of other strokes than its own

    [[nodiscard]] std::uint32_t selections_of_input() const;
    std::uint32_t selections_ = 0;  ///< of tools, by the output so far
    bool graded_ = false;           ///< a bead that the plan grades was met
    bool interrupted_ = true;       ///< something lies between the last bead and here
    bool heat_changed_ = false;     ///< a set-point was given since the last bead
    bool may_prime_ = false;        ///< a swap or a wait came since the last bead
    bool has_bead_ = false;
    double last_z_mm_ = 0.0;
    std::size_t firsts_ = 0;  ///< see State
    Match last_match_;
    /// A move since the last bead that may have been meant to go on with it, unextruded.
    struct Coasted {
        Act move;
        Match match;
    };
    std::vector<Coasted> coasted_;
    double coasted_mm3_ = 0.0;
    Target last_target_;
};

}  // namespace durograde::check
