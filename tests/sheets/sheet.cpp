/// @file
/// The order of things on a sheet.
#include "sheet.hpp"

#include <algorithm>
#include <utility>
#include <vector>

#include "part_layer.hpp"
#include "pen.hpp"

namespace durograde::sheets {
namespace {

/// Free bed between the brim of the outermost parts and the skirt.
constexpr double skirt_gap_mm = 4;
/// Between the top of a finished part and the nozzle that passes over it.
constexpr double pass_over_mm = 5;

class SheetMaker {
  public:
    SheetMaker(const Style& style, Sink sink)
        : style_(style), pen_(style, std::move(sink)), places_(unmoved_places(style)) {}

    void make() {
        pen_.start_program();
        if (style_.purge_line || style_.skirt_loops > 0) pen_.begin_layer(0);
        if (style_.purge_line) draw_purge_line();
        if (style_.skirt_loops > 0) draw_skirt();
        if (style_.one_by_one) {
            make_one_by_one();
        } else {
            make_together();
        }
        if (style_.labels) pen_.lines().command("M486 S-1");
        pen_.end_program();
    }

  private:
    /// The pen adds the offset of the sheet itself.
    static std::vector<Place> unmoved_places(Style style) {
        style.offset_x_mm = style.offset_y_mm = 0;
        return places(style);
    }

    /// Forth and back along the edge, off the parts.
    void draw_purge_line() {
        pen_.say(Comments::some, "wake the nozzle");
        const double y_mm = 8;
        const double back_mm = y_mm + style_.bead_mm;
        const Path path{{{10, y_mm}, 0, {}},
                        {{70, y_mm}, 0, {}},
                        {{70, back_mm}, 0, {}},
                        {{10, back_mm}, 0, {}}};
        pen_.draw(path, {Feature::purge, {}, 0});
    }

    void draw_skirt() {
        pen_.say(Comments::some, "ring around the sheet");
        Point low{1e9, 1e9};
        Point high{-1e9, -1e9};
        for (const Place& place : places_) {
            low = {std::min(low.x_mm, place.x_mm), std::min(low.y_mm, place.y_mm)};
            high = {std::max(high.x_mm, place.x_mm), std::max(high.y_mm, place.y_mm)};
        }
        const RoundedBox part = part_outline(style_, 0);
        const double turned_mm = std::max(part.half_x_mm, part.half_y_mm) * 1.42;
        const bool turned = style_.turn_step_deg != 0;
        const double around_mm = skirt_gap_mm + style_.brim_loops * style_.bead_mm;
        const RoundedBox inner{
            (high.x_mm - low.x_mm) / 2 + (turned ? turned_mm : style_.width_mm / 2) + around_mm,
            (high.y_mm - low.y_mm) / 2 + (turned ? turned_mm : style_.depth_mm / 2) + around_mm,
            around_mm};
        const Place middle{(low.x_mm + high.x_mm) / 2, (low.y_mm + high.y_mm) / 2, 0};
        LoopForm form;
        form.arcs = style_.arcs;
        Path path;
        for (int loop = style_.skirt_loops - 1; loop >= 0; --loop) {
            trace_loop(inner.grown((loop + 0.5) * style_.bead_mm), form, path);
            pen_.draw(path, {Feature::skirt, middle, 0});
        }
    }

    void make_together() {
        for (int layer = 0; layer < style_.layers; ++layer) {
            if (style_.spiral && layer > 0) break;
            begin_layer(layer, layer, style_.layers);
            for (int turn = 0; turn < style_.parts; ++turn) {
                // With several tools, each layer goes on with the tool that ended the last.
                const bool back = style_.tools > 1 && layer % 2 == 1;
                make_part_layer(back ? style_.parts - 1 - turn : turn, layer);
            }
        }
        if (style_.spiral) draw_spiral(pen_, style_, 0, places_.front());
    }

    void make_one_by_one() {
        const double top_mm = top_of_layer_mm(style_, style_.layers - 1);
        for (int part = 0; part < style_.parts; ++part) {
            const Place& place = places_[static_cast<std::size_t>(part)];
            if (part > 0) pen_.pass_over({place.x_mm, place.y_mm}, top_mm + pass_over_mm);
            for (int layer = 0; layer < (style_.spiral ? 1 : style_.layers); ++layer) {
                begin_layer(layer, part * style_.layers + layer, style_.parts * style_.layers);
                make_part_layer(part, layer);
            }
            if (style_.spiral) draw_spiral(pen_, style_, part, place);
        }
    }

    void begin_layer(int layer, int done, int all) {
        if (style_.comments != Comments::none) {
            pen_.say(Comments::some, text_of("level ", layer + 1) + text_of(" of ", style_.layers));
        }
        if (style_.progress) pen_.lines().command(text_of("M73 P", done * 100 / all));
        if (style_.dwells) pen_.lines().command("G4 P150");
        if (style_.overrides && layer > 0) {
            pen_.lines().command(layer % 2 == 1 ? "M220 S95" : "M220 S100");
            pen_.lines().command(layer % 2 == 1 ? "M221 S98" : "M221 S100");
        }
        pen_.begin_layer(layer);
    }

    void make_part_layer(int part, int layer) {
        const Place& place = places_[static_cast<std::size_t>(part)];
        pen_.select_tool(part * style_.tools / style_.parts);
        if (style_.labels) pen_.lines().command(text_of("M486 S", part));
        if (style_.comments == Comments::some) {
            pen_.say(Comments::some, text_of("pad ", part + 1));
        }
        if (layer == 0) draw_brim(pen_, style_, part, place);
        draw_part_layer(pen_, style_, part, place, layer);
    }

    const Style& style_;
    Pen pen_;
    std::vector<Place> places_;
};

}  // namespace

void write_sheet(const Style& style, const Sink& sink) {
    const Style good = sane(style);
    SheetMaker(good, sink).make();
}

bool write_sheet(const Style& style, std::FILE* file) {
    bool good = true;
    write_sheet(style, [&](std::string_view bytes) {
        good = good && std::fwrite(bytes.data(), 1, bytes.size(), file) == bytes.size();
    });
    return good && std::fflush(file) == 0;
}

std::string make_sheet(const Style& style) {
    std::string text;
    write_sheet(style, [&text](std::string_view bytes) { text += bytes; });
    return text;
}

}  // namespace durograde::sheets
