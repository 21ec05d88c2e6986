#include "grade/give.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <limits>

namespace durograde::grade {
namespace {

constexpr double no_way = std::numeric_limits<double>::infinity();
/// Squares of Shore A: less is no reason for one more set-point.
constexpr double alike = 1e-9;

/// Sums of the wishes up to each, by which what some of them cost together is told at once.
class Sums {
  public:
    explicit Sums(std::span<const Wish> wishes) {
        double total = 0.0;
        for (const Wish& wish : wishes) total += wish.weight;
        // About the first one: squares of small numbers lose no digits.
        const double zero = wishes.empty() ? 0.0 : wishes.front().shore_a;
        for (const Wish& wish : wishes) {
            // Where nothing is printed for any, all count alike.
            const double w =
                total > 0 ? wish.weight / total : 1.0 / static_cast<double>(wishes.size());
            const double h = wish.shore_a - zero;
            sums_.push_back(
                {sums_.back().w + w, sums_.back().wh + w * h, sums_.back().whh + w * h * h});
        }
        zero_ = zero;
    }

    /// Of the wishes from `begin` to before `end`; their middle where they have no weight.
    [[nodiscard]] double mean(std::size_t begin, std::size_t end, std::span<const Wish> of) const {
        const double w = sums_[end].w - sums_[begin].w;
        if (!(w > 0)) return (of[begin].shore_a + of[end - 1].shore_a) / 2;
        return zero_ + (sums_[end].wh - sums_[begin].wh) / w;
    }
    /// All of them served by one hardness.
    [[nodiscard]] double cost(std::size_t begin, std::size_t end, double shore_a) const {
        const double h = shore_a - zero_;
        const double w = sums_[end].w - sums_[begin].w, wh = sums_[end].wh - sums_[begin].wh,
                     whh = sums_[end].whh - sums_[begin].whh;
        return std::max(0.0, whh - 2 * h * wh + h * h * w);
    }

  private:
    struct Sum {
        double w = 0.0, wh = 0.0, whh = 0.0;
    };
    std::vector<Sum> sums_{Sum{}};
    double zero_ = 0.0;
};

/// The best way to serve the wishes before one, with some of the offers' set-points used up.
struct Best {
    double cost = no_way;
    std::size_t set_points = 0;
    std::size_t begin = 0, state = 0;  ///< what it goes on from
    Given given;                       ///< those from `begin` on

    [[nodiscard]] bool is_better_than(const Best& other) const {
        if (cost < other.cost - alike) return true;
        return cost <= other.cost + alike && set_points < other.set_points && other.cost < no_way;
    }
};

class Giver {
  public:
    Giver(std::span<const Wish> wishes, std::span<const Offer> offers)
        : wishes_(wishes), offers_(offers), sums_(wishes) {
        for (const Offer& offer : offers) {
            steps_.push_back(states_);
            states_ *= std::min(offer.most, wishes.size()) + 1;
        }
        best_.resize((wishes.size() + 1) * states_);
        at(0, 0).cost = 0.0;
    }

    std::vector<Given> give() {
        for (std::size_t begin = 0; begin < wishes_.size(); ++begin) {
            for (std::size_t state = 0; state < states_; ++state) {
                if (at(begin, state).cost < no_way) go_on(begin, state);
            }
        }
        return trace();
    }

  private:
    Best& at(std::size_t wish, std::size_t state) { return best_[wish * states_ + state]; }

    [[nodiscard]] std::size_t used(std::size_t state, std::size_t offer) const {
        const std::size_t base = std::min(offers_[offer].most, wishes_.size()) + 1;
        return state / steps_[offer] % base;
    }

    void go_on(std::size_t begin, std::size_t state) {
        for (std::size_t offer = 0; offer < offers_.size(); ++offer) {
            const bool is_free = offers_[offer].most == 0;
            if (is_free) {
                offer_one(begin, begin + 1, state, offer, 0);
                continue;
            }
            if (used(state, offer) >= std::min(offers_[offer].most, wishes_.size())) continue;
            for (std::size_t end = begin + 1; end <= wishes_.size(); ++end)
                offer_one(begin, end, state, offer, steps_[offer]);
        }
    }

    void offer_one(std::size_t begin, std::size_t end, std::size_t state, std::size_t offer,
                   std::size_t step) {
        const std::size_t choice = nearest(offers_[offer], sums_.mean(begin, end, wishes_));
        const Best& before = at(begin, state);
        const double cost = sums_.cost(begin, end, offers_[offer].choices[choice].shore_a);
        const Best next{before.cost + cost,
                        before.set_points + (step > 0 ? 1 : 0),
                        begin,
                        state,
                        {offer, choice}};
        Best& known = at(end, state + step);
        if (known.cost == no_way || next.is_better_than(known)) known = next;
    }

    std::vector<Given> trace() {
        std::size_t state = 0;
        for (std::size_t other = 1; other < states_; ++other) {
            const Best& best = at(wishes_.size(), state);
            const Best& next = at(wishes_.size(), other);
            if (best.cost == no_way || next.is_better_than(best)) state = other;
        }
        std::vector<Given> given(wishes_.size());
        for (std::size_t end = wishes_.size(); end > 0;) {
            const Best& best = at(end, state);
            std::fill(given.begin() + static_cast<std::ptrdiff_t>(best.begin),
                      given.begin() + static_cast<std::ptrdiff_t>(end), best.given);
            end = best.begin;
            state = best.state;
        }
        return given;
    }

    std::span<const Wish> wishes_;
    std::span<const Offer> offers_;
    Sums sums_;
    std::vector<std::size_t> steps_;  ///< of each offer: what one of its set-points adds to a state
    std::size_t states_ = 1;
    std::vector<Best> best_;
};

}  // namespace

std::size_t nearest(const Offer& offer, double shore_a) {
    const auto above =
        std::lower_bound(offer.choices.begin(), offer.choices.end(), shore_a,
                         [](const Offer::Choice& a, double wanted) { return a.shore_a < wanted; });
    const auto index = static_cast<std::size_t>(above - offer.choices.begin());
    if (index == 0) return 0;
    if (index == offer.choices.size()) return index - 1;
    const double over = above->shore_a - shore_a;
    return over < shore_a - std::prev(above)->shore_a ? index : index - 1;
}

std::vector<Given> give(std::span<const Wish> wishes, std::span<const Offer> offers) {
    return Giver(wishes, offers).give();
}

}  // namespace durograde::grade
