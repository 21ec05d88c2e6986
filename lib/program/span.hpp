#pragma once

#include <array>
#include <cstdint>
#include <memory>
#include <vector>

#include "program/settings.hpp"
#include "program/state.hpp"

/// A program as it is regrouped: spans of strokes within one layer, between pins.
///
///     raw lines (stand as they are) | items  stroke  items  stroke  …  items
///
/// The items before a stroke are its approach: travels, retracts, settings, comments. Those after
/// the last stroke are the span's tail. Offsets are into the span's own text.
namespace durograde::program {

/// One line of a stroke.
struct Segment {
    double x = 0.0, y = 0.0, z = 0.0;  ///< end, mm
    double e_mm = 0.0;                 ///< filament fed
    double e_word = 0.0;               ///< number of the E word
    double feed_mm_min = 0.0;
    std::uint32_t text_at = 0;             ///< offset of the line in the span's text
    std::uint32_t text_size : 23 = 0;      ///< without the line end
    std::uint32_t ending_size : 8 = 0;     ///< of the line end
    std::uint32_t states_feed : 1 = 0;     ///< the line has an F word
    std::uint16_t e_begin = 0, e_end = 0;  ///< bytes of the E number in the line
    std::int32_t arc = -1;                 ///< index into the span's arcs, or -1
};

/// One unbroken extruded path at one set of settings.
struct Stroke {
    std::uint32_t first_segment = 0, last_segment = 0;  ///< [first, last)
    std::uint32_t first_item = 0, last_item = 0;        ///< its approach
    Point start;
    double e_register = 0.0;    ///< the program's count of E at its start
    double retracted_mm = 0.0;  ///< by the program itself, at its start
    double restarts_mm = 0.0;   ///< fed along its first segment beside that one's own filament
    bool firmware_retracted = false;
    double fan_duty = 0.0;
    long fan_said_at = 0;        ///< see State
    double temperature_c = 0.0;  ///< set-point of `tool` in the input
    double speed_factor = 1.0;   ///< M220
    std::uint32_t settings = 0;  ///< index into the span's settings
    int tool = 0;                ///< in the input
    int label = -1;
    std::uint64_t line = 0;  ///< number of its first line in the input
    bool fan_named = false;
    Frame frame;        ///< that its lines are written in
    bool plain = true;  ///< its lines are single moves that may be copied
};

/// One line that is no bead.
struct Item {
    StepKind kind = StepKind::blank;
    bool plain = false;
    bool is_arc = false;
    bool firmware_retracts = false;  ///< the machine's own retraction after this line
    bool states_feed = false;
    bool sets_register = false;   ///< G92 with E: `e_word` is the count
    std::array<bool, 3> known{};  ///< which of x, y, z are known after it
    std::uint32_t text_at = 0;
    std::uint32_t text_size : 24 = 0;
    std::uint32_t ending_size : 8 = 0;
    std::uint32_t e_begin = 0, e_end = 0;
    std::uint32_t settings = 0;  ///< in force after it
    int label = -1;
    Frame frame;  ///< in force after it
    Point from, to;
    Arc arc;
    double e_mm = 0.0, e_word = 0.0;
    double surplus_mm = 0.0;  ///< fed beyond what was retracted
    double e_register = 0.0;  ///< before it
    double feed_mm_min = 0.0;
    double fan_duty = 0.0;
    double length_mm = 0.0;
    std::uint64_t line = 0;  ///< number in the input
};

struct Span {
    std::string text;              ///< all lines of the span, as they stand in the input
    std::uint64_t text_begin = 0;  ///< input offset of the text
    std::uint64_t raw_begin = 0,
                  raw_end = 0;  ///< input bytes that stand as they are, before the strokes
    std::uint64_t raw_lines = 0;
    std::vector<Step> raw_steps;  ///< of the raw lines
    std::vector<Item> items;
    std::vector<Segment> segments;
    std::vector<Arc> arcs;
    std::vector<Stroke> strokes;
    std::uint32_t tail_item = 0;  ///< first item after the last stroke
    std::vector<std::shared_ptr<const Settings>> settings;
    State before_raw, entry;  ///< of the program: before the raw lines and after them
    std::shared_ptr<const Settings> before_settings,
        entry_settings;  ///< before and after the raw lines
    long layer = 0;      ///< from 0; starts anew where height falls back
    double z_mm = 0.0;
    bool in_order = false;  ///< height changes along its strokes: they keep their order

    void clear();
    [[nodiscard]] std::string_view raw_text() const {
        return std::string_view(text).substr(raw_begin - text_begin, raw_end - raw_begin);
    }
};

}  // namespace durograde::program
