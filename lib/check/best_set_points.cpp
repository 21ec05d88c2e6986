#include "check/best_set_points.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <span>
#include <utility>

#include "check/card.hpp"

namespace durograde::check {
namespace {

constexpr double never = std::numeric_limits<double>::infinity();

/// Where some tool may stand.
struct Stop {
    double shore_a = 0.0;
    std::size_t uses = 0;  ///< added to the count of set-points in use; 0: it is there anyway
    std::size_t group = 0;
};

/// Tools of one range: how many set-points they have among them, and where they are counted.
struct Group {
    plan::Range range;
    std::size_t most = 0, unit = 1;
};

std::vector<Group> groups_of(const plan::Plan& plan, std::size_t wishes) {
    std::vector<Group> groups;
    for (const plan::Tool& tool : plan.tools) {
        if (!tool.range_c) continue;
        auto group = std::find_if(groups.begin(), groups.end(), [&](const Group& one) {
            return one.range.low == tool.range_c->low && one.range.high == tool.range_c->high;
        });
        if (group == groups.end()) group = groups.insert(group, Group{*tool.range_c, 0, 1});
        group->most += static_cast<std::size_t>(tool.set_points);
    }
    std::size_t unit = 1;
    for (Group& group : groups) {
        group.most = std::min(group.most, wishes);
        group.unit = unit;
        unit *= group.most + 1;
    }
    return groups;
}

std::vector<Stop> stops_of(const plan::Plan& plan, const std::vector<Group>& groups) {
    const Card card(plan.material->points);
    std::vector<Stop> stops;
    for (const plan::Tool& tool : plan.tools)
        if (!tool.range_c) stops.push_back({card.hardness_shore_a(tool.temperature_c), 0, 0});
    for (std::size_t i = 0; i < groups.size(); ++i) {
        const auto add = [&](double celsius) {
            stops.push_back({card.hardness_shore_a(celsius), groups[i].unit, i});
        };
        const auto [low, high] = groups[i].range;
        add(low);
        const long first = std::lround(std::ceil(low)), last = std::lround(std::floor(high));
        for (long whole = first; whole <= last; ++whole) add(static_cast<double>(whole));
        add(high);
    }
    std::sort(stops.begin(), stops.end(),
              [](const Stop& a, const Stop& b) { return a.shore_a < b.shore_a; });
    return stops;
}

double square(double value) {
    return value * value;
}

/// Of the wishes between two neighbours in use: each at the nearer one. `below` or `above` may be
/// missing (infinite).
double cost_between(std::span<const Asked> asked, double below, double above) {
    double cost = 0.0;
    for (const Asked& one : asked) {
        if (!(one.shore_a > below) || one.shore_a > above) continue;
        cost += one.weight * std::min(square(one.shore_a - below), square(above - one.shore_a));
    }
    return cost;
}

/// Weights as shares of all; alike where there is none.
void share_out(std::vector<Asked>& asked) {
    double total = 0.0;
    for (const Asked& one : asked) total += one.weight;
    for (Asked& one : asked)
        one.weight = total > 0 ? one.weight / total : 1.0 / static_cast<double>(asked.size());
}

}  // namespace

double least_cost(const plan::Plan& plan, std::vector<Asked> asked) {
    share_out(asked);
    const std::vector<Group> groups = groups_of(plan, asked.size());
    const std::vector<Stop> stops = stops_of(plan, groups);
    const std::size_t states = groups.empty() ? 1 : groups.back().unit * (groups.back().most + 1);
    // Least cost of all wishes up to a stop that is the last one in use so far.
    std::vector<std::vector<double>> least(stops.size(), std::vector<double>(states, never));
    double best = never;
    for (std::size_t i = 0; i < stops.size(); ++i) {
        const Stop& here = stops[i];
        const auto has_room = [&](std::size_t state) {
            return here.uses == 0 ||
                   state / here.uses % (groups[here.group].most + 1) < groups[here.group].most;
        };
        if (has_room(0)) least[i][here.uses] = cost_between(asked, -never, here.shore_a);
        for (std::size_t before = 0; before < i; ++before) {
            const double between = cost_between(asked, stops[before].shore_a, here.shore_a);
            for (std::size_t state = 0; state < states; ++state) {
                if (least[before][state] == never || !has_room(state)) continue;
                double& known = least[i][state + here.uses];
                known = std::min(known, least[before][state] + between);
            }
        }
        const double beyond = cost_between(asked, here.shore_a, never);
        for (const double cost : least[i]) best = std::min(best, cost + beyond);
    }
    return best;
}

}  // namespace durograde::check
