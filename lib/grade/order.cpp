#include "grade/order.hpp"

#include <algorithm>
#include <range/v3/range/conversion.hpp>
#include <range/v3/view/chunk_by.hpp>
#include <range/v3/view/filter.hpp>
#include <range/v3/view/iota.hpp>
#include <range/v3/view/transform.hpp>

#include "grade/part_path.hpp"
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

/// Pieces of one part, or of none.
struct Group {
    int part = region::outside;
    Indices pieces;
};

std::vector<Group> group_by_part(const std::vector<Piece>& pieces, const Indices& list) {
    std::vector<Group> groups;
    for (const std::uint32_t index : list) {
        const int part = pieces[index].part;
        auto found = std::find_if(groups.begin(), groups.end(),
                                  [&](const Group& group) { return group.part == part; });
        if (found == groups.end()) found = groups.insert(found, {part, {}});
        found->pieces.push_back(index);
    }
    return groups;
}

/// Part by part. What belongs to no part goes first, as skirts do.
void tour_parts(const std::vector<Piece>& pieces, std::vector<Group>& groups,
                program::Point start) {
    const auto parts = std::stable_partition(groups.begin(), groups.end(), [](const Group& group) {
        return group.part == region::outside;
    });
    if (parts != groups.begin()) start = pieces[std::prev(parts)->pieces.back()].end.point;
    std::vector<Stop> stops;
    for (auto group = parts; group != groups.end(); ++group) {
        stops.push_back(
            {pieces[group->pieces.front()].begin.point, pieces[group->pieces.back()].end.point});
    }
    std::vector<Group> toured;
    for (const std::uint32_t stop : short_tour(stops, start))
        toured.push_back(std::move(parts[stop]));
    std::move(toured.begin(), toured.end(), parts);
}

/// The pieces of a visit by the plan's order; `inside` where it begins far from open air.
void shorten(const program::Span& span, std::vector<Piece>& pieces, Indices& list,
             program::Point from, const region::Cover* inside, const plan::Order& order) {
    std::vector<Group> groups = group_by_part(pieces, list);
    if (order.short_tour) {
        tour_parts(pieces, groups, from);
        list.clear();
        for (const Group& group : groups)
            list.insert(list.end(), group.pieces.begin(), group.pieces.end());
    }
    Indices shortened;
    for (auto first = list.begin(); first != list.end();) {
        const int part = pieces[*first].part;
        const auto last = std::find_if(
            first, list.end(), [&](std::uint32_t index) { return pieces[index].part != part; });
        Indices row(first, last);
        if (part != region::outside) {
            shorten_path(span, pieces, row, from, {order.short_strokes, order.reverse, inside});
            inside = nullptr;
        }
        from = pieces[row.back()].exit();
        shortened.insert(shortened.end(), row.begin(), row.end());
        first = last;
    }
    list = std::move(shortened);
}

}  // namespace

std::vector<Visit> order_pieces(const program::Span& span, std::vector<Piece>& pieces,
                                const std::vector<int>& order, int ready,
                                const program::Point& position, const region::Cover& cover,
                                const plan::Plan& plan) {
    if (span.in_order) return visits_in_order(pieces);
    const Indices all = all_indices(pieces);
    program::Point from = position;
    std::vector<Visit> visits;
    for (const int station : order) {
        const auto of_station = [&](std::uint32_t i) { return pieces[i].station == station; };
        Visit visit{station, all | views::filter(of_station) | ranges::to<Indices>()};
        join_seams(span, pieces, visit.pieces);
        const bool inside = plan.order && plan.order->begins_inside && station != ready;
        if (plan.order)
            shorten(span, pieces, visit.pieces, from, inside ? &cover : nullptr, *plan.order);
        from = pieces[visit.pieces.back()].exit();
        visits.push_back(std::move(visit));
    }
    return visits;
}

}  // namespace durograde::grade
