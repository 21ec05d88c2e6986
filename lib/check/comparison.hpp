#pragma once

#include <string>

#include "check/bead_watch.hpp"
#include "check/block_watch.hpp"
#include "check/clock.hpp"
#include "check/coverage.hpp"
#include "check/filament_watch.hpp"
#include "check/first_look.hpp"
#include "check/heat_watch.hpp"
#include "check/layer_reader.hpp"
#include "check/line_watch.hpp"
#include "check/ooze_bounds.hpp"
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
    void see_pin(const std::string& text, const Standing& standing, std::uint64_t line);
    void see_comment();
    void see_end();
    [[nodiscard]] bool is_spelled_out(Said& said, bool& waits, bool& cools) const;

    // Layers of the input, and spans between pins.
    bool read_layer(Layer& layer);
    void begin_layer();
    void end_layer();
    void open_span();
    void begin_piece(const Match& match, const Stroke& stroke);

    [[nodiscard]] bool begins_stroke(const Match& match, const Stroke& stroke) const;
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

    bool steadies_;  ///< some zone has a band for its flow
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
    FilamentWatch filament_watch_;
    TravelWatch travel_watch_;
    SettingWatch setting_watch_;
    SwapWatch swap_watch_;

    bool graded_ = false;        ///< a bead that the plan grades was met
    bool interrupted_ = true;    ///< something lies between the last bead and here
    bool heat_changed_ = false;  ///< a set-point was given since the last bead
    bool may_prime_ = false;     ///< a swap or a wait came since the last bead
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
