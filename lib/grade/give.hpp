#pragma once

#include <cstddef>
#include <span>
#include <vector>

/// Which set-points serve which wishes best.
namespace durograde::grade {

/// A hardness asked for, and how much of the print asks for it.
struct Wish {
    double shore_a = 0.0, weight = 0.0;
};

/// What some tools can be set to.
struct Offer {
    struct Choice {
        double temperature_c = 0.0, shore_a = 0.0;
    };
    std::vector<Choice> choices;  ///< by rising hardness; one at least
    /// How many of them at most may be taken; 0: each that is taken, of tools that stand at it
    /// anyway.
    std::size_t most = 0;
};

/// Which choice is nearest to a hardness; of two that are as near, the softer.
std::size_t nearest(const Offer& offer, double shore_a);

/// What a wish is given.
struct Given {
    std::size_t offer = 0, choice = 0;

    friend bool operator==(const Given&, const Given&) = default;
};

/// Gives each wish one choice so that the squares of what each wish is off by, by weight, add up to
/// as little as any choice of set-points allows; of those that do so, one with the fewest of them.
/// Exact: each set-point serves wishes that follow each other in order, so that a wish is cut off
/// after the other, the best way to serve those before being known (Wang and Song, Ckmeans.1d.dp,
/// The R Journal 3/2, 2011, for one kind of tool without bounds). `wishes` by rising hardness,
/// distinct; some offer at least.
std::vector<Given> give(std::span<const Wish> wishes, std::span<const Offer> offers);

}  // namespace durograde::grade
