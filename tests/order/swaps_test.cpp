#include "grade/swaps.hpp"

#include <rapidcheck.h>

#include <algorithm>
#include <catch2/catch.hpp>

#include "random.hpp"

/// The fewest tool swaps: least cost over the tool that each layer ends with (Viterbi, IEEE Trans.
/// Inf. Theory 13(2), 1967, 260-269).
namespace durograde {
namespace {

using Layers = std::vector<std::vector<int>>;

long fewest(const Layers& layers, int first_tool) {
    grade::FewestSwaps swaps(first_tool);
    for (const auto& layer : layers) swaps.add_layer(layer);
    return swaps.fewest();
}

/// From whichever tool is best to begin with.
long fewest_from_any(const Layers& layers) {
    long least = 1'000'000;
    for (const int tool : layers.front()) least = std::min(least, fewest(layers, tool));
    return least;
}

/// Every order of every layer is tried.
long by_trying(const Layers& layers, std::size_t at, int ready) {
    if (at == layers.size()) return 0;
    if (layers[at].empty()) return by_trying(layers, at + 1, ready);
    std::vector<int> order = layers[at];
    std::sort(order.begin(), order.end());
    long least = 1'000'000;
    do {
        long swaps = static_cast<long>(order.size()) - 1 + (order.front() == ready ? 0 : 1);
        swaps += by_trying(layers, at + 1, order.back());
        least = std::min(least, swaps);
    } while (std::next_permutation(order.begin(), order.end()));
    return least;
}

}  // namespace

TEST_CASE("fewest swaps of known layers", "[order]") {
    CHECK(fewest_from_any(Layers(3, {0, 1})) == 3);
    CHECK(fewest_from_any(Layers(100, {0, 1})) == 100);
    CHECK(fewest_from_any(Layers(10, {0, 1, 2})) == 20);
    CHECK(fewest_from_any({{0, 1}, {1, 2}, {0, 2}, {0, 1, 2}}) == 5);
    CHECK(fewest({{0}}, 0) == 0);
    CHECK(fewest({{0}}, 1) == 1);
    CHECK(fewest({{}, {1}, {}}, 1) == 0);
    CHECK(fewest({}, 1) == 0);
    for (int n = 1; n <= 6; ++n) {
        for (int k = 2; k <= 5; ++k) {
            std::vector<int> tools;
            for (int tool = 0; tool < k; ++tool) tools.push_back(tool);
            CHECK(fewest_from_any(Layers(static_cast<std::size_t>(n), tools)) == n * (k - 1));
        }
    }
}

TEST_CASE("fewest swaps are what trying every order finds", "[order]") {
    REQUIRE(rc::check("small cases", [](std::uint64_t seed) {
        sheets::Random random(seed);
        Layers layers(static_cast<std::size_t>(random.between(1, 5)));
        for (auto& layer : layers) {
            for (int tool = 0; tool < 4; ++tool) {
                if (random.chance(50)) layer.push_back(tool);
            }
        }
        const int first = random.between(0, 3);
        RC_ASSERT(fewest(layers, first) == by_trying(layers, 0, first));
    }));
}

}  // namespace durograde
