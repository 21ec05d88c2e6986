#include "grade/set_points.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

#include "plan/material_curve.hpp"
#include "plan/set_points.hpp"

namespace durograde::grade {
namespace {

constexpr double alike = 1e-9;  // Shore A

/// Who has a wish.
struct Wishers {
    std::vector<std::size_t> zones;
    bool has_gradient = false;
};

/// The wishes of the plan, each once.
struct WishList {
    std::vector<Wish> wishes;
    std::vector<Wishers> by;
};

WishList wishes_of(const plan::Plan& plan, std::span<const double> volumes_mm3,
                   std::span<const Wish> gradient) {
    std::map<double, std::pair<double, Wishers>> known;
    for (std::size_t i = 0; i < plan.zones.size(); ++i) {
        if (!plan.zones[i].hardness_shore_a) continue;
        auto& [weight, by] = known[*plan.zones[i].hardness_shore_a];
        weight += volumes_mm3.empty() ? 1.0 : volumes_mm3[i];
        by.zones.push_back(i);
    }
    for (const Wish& wish : gradient) {
        auto& [weight, by] = known[wish.shore_a];
        weight += wish.weight;
        by.has_gradient = true;
    }
    WishList list;
    for (auto& [shore_a, of] : known) {
        list.wishes.push_back({shore_a, of.first});
        list.by.push_back(std::move(of.second));
    }
    return list;
}

Offer offer_at(const std::vector<double>& temperatures_c, const plan::Curve& curve) {
    Offer offer;
    for (const double celsius : temperatures_c)
        offer.choices.push_back({celsius, curve.hardness_shore_a(celsius)});
    std::sort(offer.choices.begin(), offer.choices.end(),
              [](const auto& a, const auto& b) { return a.shore_a < b.shore_a; });
    return offer;
}

/// The choices of one offer that were taken, the firmest first, each with the tool that has it: the
/// first tools of the plan have the firmest.
std::map<std::size_t, const plan::Tool*> share_out(const std::vector<Given>& given,
                                                   std::size_t offer, const Offers& offers) {
    std::vector<std::size_t> taken;
    for (const Given& one : given)
        if (one.offer == offer) taken.push_back(one.choice);
    std::sort(taken.rbegin(), taken.rend());
    taken.erase(std::unique(taken.begin(), taken.end()), taken.end());
    std::map<std::size_t, const plan::Tool*> tools;
    const std::vector<const plan::Tool*>& own = offers.tools[offer];
    std::size_t tool = 0;
    int set = 0;
    for (const std::size_t choice : taken) {
        const double celsius = offers.list[offer].choices[choice].temperature_c;
        if (offers.list[offer].most == 0) {
            tools[choice] = *std::find_if(own.begin(), own.end(), [&](const plan::Tool* fixed) {
                return fixed->temperature_c == celsius;
            });
            continue;
        }
        if (set == own[tool]->set_points) {
            ++tool;
            set = 0;
        }
        tools[choice] = own[tool];
        ++set;
    }
    return tools;
}

}  // namespace

Offers offers_of(const plan::Plan& plan) {
    const plan::Curve curve(plan.material->points);
    Offers offers;
    std::vector<double> fixed_c;
    std::vector<const plan::Tool*> fixed;
    std::map<std::pair<double, double>, std::size_t> ranges;
    for (const plan::Tool& tool : plan.tools) {
        if (!tool.range_c) {
            fixed.push_back(&tool);
            fixed_c.push_back(tool.temperature_c);
            continue;
        }
        const auto [known, is_new] =
            ranges.try_emplace({tool.range_c->low, tool.range_c->high}, offers.list.size());
        if (is_new) {
            offers.list.push_back(offer_at(plan::set_points_within(*tool.range_c), curve));
            offers.tools.emplace_back();
        }
        offers.list[known->second].most += static_cast<std::size_t>(tool.set_points);
        offers.tools[known->second].push_back(&tool);
    }
    if (!fixed.empty()) {
        offers.list.push_back(offer_at(fixed_c, curve));
        offers.tools.push_back(fixed);
    }
    return offers;
}

Answers choose_set_points(const plan::Plan& plan, std::span<const double> volumes_mm3,
                          std::span<const Wish> gradient) {
    const WishList list = wishes_of(plan, volumes_mm3, gradient);
    const Offers offers = offers_of(plan);
    const std::vector<Given> given = give(list.wishes, offers.list);
    std::vector<std::map<std::size_t, const plan::Tool*>> tools;
    for (std::size_t offer = 0; offer < offers.list.size(); ++offer)
        tools.push_back(share_out(given, offer, offers));
    Answers answers;
    std::vector<Given> of_gradient;
    for (std::size_t i = 0; i < given.size(); ++i) {
        const Given& one = given[i];
        const double celsius = offers.list[one.offer].choices[one.choice].temperature_c;
        for (const std::size_t zone : list.by[i].zones)
            answers.set.push_back({zone, tools[one.offer].at(one.choice)->number, celsius});
        const bool is_new = of_gradient.empty() || !(of_gradient.back() == one);
        if (list.by[i].has_gradient && is_new) of_gradient.push_back(one);
    }
    std::sort(answers.set.begin(), answers.set.end(),
              [](const auto& a, const auto& b) { return a.zone < b.zone; });
    // From the firmest on, each to half-way to the next.
    for (std::size_t i = of_gradient.size(); i-- > 0;) {
        const auto choice = [&](std::size_t of) {
            return offers.list[of_gradient[of].offer].choices[of_gradient[of].choice];
        };
        const double middle =
            i > 0 ? (choice(i).shore_a + choice(i - 1).shore_a) / 2 : choice(i).shore_a;
        constexpr double per_shore_a = 1000.0;
        answers.steps.push_back({std::round(middle * per_shore_a) / per_shore_a,
                                 tools[of_gradient[i].offer].at(of_gradient[i].choice)->number,
                                 choice(i).temperature_c});
    }
    // Where nothing follows the gradient, a tool is named for it all the same.
    if (plan.gradient && answers.steps.empty())
        answers.steps.push_back({0.0, plan.tools.front().number, plan.tools.front().temperature_c});
    return answers;
}

bool rests_on_volumes(const plan::Plan& plan) {
    if (plan.gradient) return true;
    const WishList list = wishes_of(plan, {}, {});
    const Offers offers = offers_of(plan);
    const std::vector<Given> given = give(list.wishes, offers.list);
    for (std::size_t i = 0; i < given.size(); ++i) {
        const double wanted = list.wishes[i].shore_a;
        const auto off = [&](const Offer& offer, std::size_t choice) {
            return std::abs(offer.choices[choice].shore_a - wanted);
        };
        const double has = off(offers.list[given[i].offer], given[i].choice);
        for (const Offer& offer : offers.list)
            if (off(offer, nearest(offer, wanted)) < has - alike) return true;
    }
    return false;
}

}  // namespace durograde::grade
