#include "grade/order.hpp"

#include <algorithm>
#include <range/v3/range/conversion.hpp>
#include <range/v3/view/chunk_by.hpp>
#include <range/v3/view/filter.hpp>
#include <range/v3/view/iota.hpp>
#include <range/v3/view/transform.hpp>

#include "grade/tour.hpp"

namespace durograde::grade {
namespace {

namespace views = ranges::views;
using Indices = std::vector<std::uint32_t>;

Indices all_indices(const std::vector<Piece>& pieces) {
    return views::iota(std::uint32_t{0}, static_cast<std::uint32_t>(pieces.size())) |
           ranges::to<Indices>();
}

/// Pieces in the order of the input, a visit as long as the station stays the same.
std::vector<Visit> visits_in_order(const std::vector<Piece>& pieces) {
    const auto same_station = [&](std::uint32_t a, std::uint32_t b) {
        return pieces[a].station == pieces[b].station;
    };
    const Indices all = all_indices(pieces);
    return all | views::chunk_by(same_station) | views::transform([&](auto&& chunk) {
               Visit visit;
               visit.pieces = chunk | ranges::to<Indices>();
               visit.station = pieces[visit.pieces.front()].station;
               return visit;
           }) |
           ranges::to<std::vector>();
}

/// A closed stroke whose first and last piece share a station: the last is printed just before the
/// first, so that they join at the seam.
void join_seams(const program::Span& span, const std::vector<Piece>& pieces, Indices& list) {
    for (std::size_t i = 0; i + 1 < list.size(); ++i) {
        const Piece& first = pieces[list[i]];
        if (!first.begins_stroke || first.ends_stroke) continue;
        std::size_t last = i + 1;
        while (last < list.size() && pieces[list[last]].stroke == first.stroke &&
               !pieces[list[last]].ends_stroke) {
            ++last;
        }
        if (last == list.size() || pieces[list[last]].stroke != first.stroke) continue;
        const program::Point& start = span.strokes[first.stroke].start;
        if (distance(start, pieces[list[last]].end.point) > 1e-6) continue;
        std::rotate(list.begin() + static_cast<std::ptrdiff_t>(i),
                    list.begin() + static_cast<std::ptrdiff_t>(last),
                    list.begin() + static_cast<std::ptrdiff_t>(last + 1));
    }
}

/// The pieces of a visit, part by part. What belongs to no part goes first, as skirts do.
void tour_parts(const std::vector<Piece>& pieces, Indices& list, const program::Point& start) {
    std::vector<int> parts;
    std::vector<Indices> groups;
    for (const std::uint32_t index : list) {
        const int part = pieces[index].part;
        auto found = std::find(parts.begin(), parts.end(), part);
        if (found == parts.end()) {
            parts.push_back(part);
            groups.emplace_back();
            found = std::prev(parts.end());
        }
        groups[static_cast<std::size_t>(found - parts.begin())].push_back(index);
    }
    program::Point from = start;
    Indices toured;
    std::vector<Stop> stops;
    Indices stop_groups;
    for (std::uint32_t g = 0; g < groups.size(); ++g) {
        if (parts[g] == region::outside) {
            toured.insert(toured.end(), groups[g].begin(), groups[g].end());
            from = pieces[toured.back()].end.point;
        } else {
            stops.push_back(
                {pieces[groups[g].front()].begin.point, pieces[groups[g].back()].end.point});
            stop_groups.push_back(g);
        }
    }
    for (const std::uint32_t stop : short_tour(stops, from)) {
        const Indices& group = groups[stop_groups[stop]];
        toured.insert(toured.end(), group.begin(), group.end());
    }
    list = std::move(toured);
}

}  // namespace

std::vector<Visit> order_pieces(const program::Span& span, const std::vector<Piece>& pieces,
                                const std::vector<int>& order, const program::Point& position,
                                const plan::Plan& plan) {
    if (span.in_order) return visits_in_order(pieces);
    const Indices all = all_indices(pieces);
    const bool tours = plan.order.has_value() && plan.order->short_tour;
    program::Point from = position;
    std::vector<Visit> visits;
    for (const int station : order) {
        const auto of_station = [&](std::uint32_t i) { return pieces[i].station == station; };
        Visit visit{station, all | views::filter(of_station) | ranges::to<Indices>()};
        join_seams(span, pieces, visit.pieces);
        if (tours) tour_parts(pieces, visit.pieces, from);
        from = pieces[visit.pieces.back()].end.point;
        visits.push_back(std::move(visit));
    }
    return visits;
}

}  // namespace durograde::grade
