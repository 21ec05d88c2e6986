#include "grade/as_sliced.hpp"

namespace durograde::grade {

void AsSliced::add(const Work& work) {
    const program::Span& span = work.span;
    std::size_t next_piece = 0;
    for (std::uint32_t i = 0; i < span.strokes.size(); ++i) {
        const program::Stroke& stroke = span.strokes[i];
        add_items(work, stroke.first_item, stroke.last_item);
        while (next_piece < work.pieces.size() && work.pieces[next_piece].stroke == i) {
            const Piece& piece = work.pieces[next_piece++];
            has_bead_ = true;
            origin_ = {piece.zone, piece.part, stroke.temperature_c};
        }
    }
    add_items(work, span.tail_item, static_cast<std::uint32_t>(span.items.size()));
}

void AsSliced::add_items(const Work& work, std::uint32_t first, std::uint32_t last) {
    bool draws_back = false;
    for (std::uint32_t i = first; i < last; ++i) {
        const program::Item& item = work.span.items[i];
        draws_back = draws_back || item.e_mm < 0 || item.firmware_retracts;
        if (!has_bead_ || item.kind != program::StepKind::travel || item.length_mm <= 0) continue;
        open_air_.add(origin_, {work.cover.open_air(item.from, item.to).total_mm, 0.0, 0.0});
    }
    retractions_ += has_bead_ && draws_back ? 1 : 0;
}

}  // namespace durograde::grade
