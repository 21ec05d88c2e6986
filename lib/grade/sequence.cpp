#include "grade/sequence.hpp"

#include <algorithm>
#include <cstdint>
#include <cstdlib>
#include <limits>

#include "heat/heater.hpp"

namespace durograde::grade {
namespace {

constexpr double never_s = std::numeric_limits<double>::infinity();
constexpr double same_s = 1e-9;

using Matrix = std::vector<std::vector<double>>;

/// The cheapest ways from one station through all others, by the station that they end at.
class Paths {
  public:
    Paths(const Matrix& cost, std::size_t first) : cost_(cost), count_(cost.size()) {
        const std::size_t subsets = std::size_t{1} << count_;
        least_.assign(subsets * count_, never_s);
        before_.assign(subsets * count_, 0);
        least_[at(std::size_t{1} << first, first)] = 0.0;
        for (std::size_t subset = 0; subset < subsets; ++subset) extend(subset);
    }
    [[nodiscard]] double cost_s(std::size_t last) const { return least_[at(all(), last)]; }
    [[nodiscard]] std::vector<std::size_t> to(std::size_t last) const {
        std::vector<std::size_t> path;
        std::size_t subset = all();
        while (subset != 0) {
            path.push_back(last);
            const std::size_t before = before_[at(subset, last)];
            subset &= ~(std::size_t{1} << last);
            last = before;
        }
        std::reverse(path.begin(), path.end());
        return path;
    }

  private:
    [[nodiscard]] std::size_t all() const { return (std::size_t{1} << count_) - 1; }
    [[nodiscard]] std::size_t at(std::size_t subset, std::size_t last) const {
        return subset * count_ + last;
    }
    void extend(std::size_t subset) {
        for (std::size_t last = 0; last < count_; ++last) {
            const double cost = least_[at(subset, last)];
            if (cost == never_s) continue;
            for (std::size_t next = 0; next < count_; ++next) {
                if ((subset >> next & 1U) != 0) continue;
                const std::size_t there = at(subset | std::size_t{1} << next, next);
                const double sum = cost + cost_[last][next];
                if (sum >= least_[there] - same_s) continue;
                least_[there] = sum;
                before_[there] = static_cast<std::uint8_t>(last);
            }
        }
    }

    const Matrix& cost_;
    std::size_t count_;
    std::vector<double> least_;
    std::vector<std::uint8_t> before_;
};

}  // namespace

Need need_of(const program::Span& span, const std::vector<Piece>& pieces,
             const Stations& stations) {
    Need need;
    std::vector<bool> needed(stations.size());
    for (const Piece& piece : pieces) {
        needed[static_cast<std::size_t>(piece.station)] = true;
        const bool goes_on = !need.fixed.empty() && need.fixed.back() == piece.station;
        if (span.in_order && !goes_on) need.fixed.push_back(piece.station);
    }
    for (std::size_t i = 0; i < needed.size(); ++i) {
        if (needed[i]) need.stations.push_back(static_cast<int>(i));
    }
    std::sort(need.stations.begin(), need.stations.end(), [&](int a, int b) {
        return std::pair{stations[a].tool, stations[a].temperature_c} <
               std::pair{stations[b].tool, stations[b].temperature_c};
    });
    return need;
}

double change_s(const Station& from, const Station& to, const plan::Plan& plan) {
    if (from == to) return 0.0;
    const plan::Tool* tool = plan.find_tool(to.tool);
    // A swap counts something even where the plan gives it no time.
    double seconds = std::max(1.0, plan.machine.swap_time_s);
    if (from.tool == to.tool && tool != nullptr) {
        seconds = heat::ready_s(tool->heater, from.temperature_c, to.temperature_c, tool->ready_k);
    }
    if (tool != nullptr && tool->prime.has_value()) {
        const double speed = tool->travel.retract.value_or(plan::Retract{}).restart_speed_mm_s;
        seconds += tool->prime->length_mm / speed;
    }
    return seconds;
}

double Sequence::change_s(int from, int to, const Stations& stations) const {
    return grade::change_s(stations[from], stations[to], plan_);
}

double Sequence::enter_s(const Ready& ready, int first, const Stations& stations) const {
    if (ready.station >= 0) return change_s(ready.station, first, stations);
    // Its temperature is not known, so that only a swap can be told from none.
    Station standing = stations[first];
    standing.tool = ready.tool;
    return grade::change_s(standing, stations[first], plan_);
}

Sequence::Ways Sequence::all_ways(const std::vector<int>& list, const Stations& stations) const {
    const std::size_t count = list.size();
    Matrix cost(count, std::vector<double>(count));
    for (std::size_t from = 0; from < count; ++from) {
        for (std::size_t to = 0; to < count; ++to) {
            cost[from][to] = change_s(list[from], list[to], stations);
        }
    }
    Ways ways;
    for (std::size_t first = 0; first < count; ++first) {
        const Paths paths(cost, first);
        for (std::size_t last = 0; last < count; ++last) {
            if (paths.cost_s(last) == never_s) continue;
            Way way{list[first], list[last], paths.cost_s(last), {}};
            for (const std::size_t i : paths.to(last)) way.order.push_back(list[i]);
            ways.push_back(std::move(way));
        }
    }
    // Of equal ways the one that ends farthest from its begin is taken: neighbouring layers then
    // go up and down in turn.
    const auto span = [&](const Way& way) {
        const auto place = [&](int station) {
            return std::find(list.begin(), list.end(), station) - list.begin();
        };
        return std::abs(place(way.last) - place(way.first));
    };
    std::stable_sort(ways.begin(), ways.end(),
                     [&](const Way& a, const Way& b) { return span(a) > span(b); });
    return ways;
}

const Sequence::Ways& Sequence::ways(const Need& need, const Stations& stations) {
    if (!need.fixed.empty()) {
        // Its own cost is the same whatever is chosen.
        fixed_ = {{need.fixed.front(), need.fixed.back(), 0.0, need.fixed}};
        return fixed_;
    }
    const auto [entry, is_new] = known_.try_emplace(need.stations);
    if (!is_new) return entry->second;
    if (need.stations.size() <= most_chosen) {
        entry->second = all_ways(need.stations, stations);
    } else {
        const std::vector<int>& up = need.stations;
        const std::vector<int> down(up.rbegin(), up.rend());
        entry->second = {{up.front(), up.back(), 0.0, up}, {down.front(), down.back(), 0.0, down}};
    }
    return entry->second;
}

std::vector<int> Sequence::order(std::span<const Need> needs, const Stations& stations,
                                 const Ready& ready) {
    if (needs.empty() || needs.front().stations.empty()) return {};
    // For each way to end a span: the least cost up to there, and how the first span was visited.
    struct End {
        int station = -1;
        double cost_s = 0.0;
        std::vector<int> first_order;
    };
    std::vector<End> ends;
    for (const Need& need : needs) {
        if (need.stations.empty()) continue;
        std::vector<End> next;
        const Ways& all = ways(need, stations);
        const bool is_bound = std::any_of(all.begin(), all.end(),
                                          [&](const Way& way) { return way.first == need.first; });
        for (const Way& way : all) {
            if (is_bound && way.first != need.first) continue;
            End end{way.last, never_s, {}};
            if (ends.empty()) {
                end.cost_s = enter_s(ready, way.first, stations) + way.cost_s;
                end.first_order = way.order;
            }
            for (const End& before : ends) {
                const double cost =
                    before.cost_s + change_s(before.station, way.first, stations) + way.cost_s;
                if (cost >= end.cost_s - same_s) continue;
                end.cost_s = cost;
                end.first_order = before.first_order;
            }
            const auto known = std::find_if(next.begin(), next.end(), [&](const End& other) {
                return other.station == end.station;
            });
            if (known == next.end()) {
                next.push_back(std::move(end));
            } else if (end.cost_s < known->cost_s - same_s) {
                *known = std::move(end);
            }
        }
        ends = std::move(next);
    }
    const auto best = std::min_element(ends.begin(), ends.end(), [](const End& a, const End& b) {
        return a.cost_s < b.cost_s - same_s;
    });
    return best == ends.end() ? std::vector<int>{} : best->first_order;
}

}  // namespace durograde::grade
