#include "text/relay.hpp"

#include <rapidcheck.h>

#include <atomic>
#include <catch2/catch.hpp>
#include <set>
#include <stdexcept>
#include <vector>

namespace durograde {

TEST_CASE("a relay passes items on in their order", "[text]") {
    REQUIRE(rc::check("any number at any depth", [] {
        const int count = *rc::gen::inRange(0, 200);
        const auto depth = *rc::gen::inRange<std::size_t>(1, 6);
        int made = 0;
        Relay<int> relay(
            [&](int& item) {
                item = made;
                return made++ < count;
            },
            depth);
        for (int expected = 0; expected < count; ++expected) {
            const int* item = relay.next();
            RC_ASSERT(item != nullptr);
            RC_ASSERT(*item == expected);
        }
        RC_ASSERT(relay.next() == nullptr);
        RC_ASSERT(relay.next() == nullptr);  // the end stays the end
    }));
}

TEST_CASE("an item is the caller's until the next call", "[text]") {
    int made = 0;
    Relay<std::vector<int>> relay([&](std::vector<int>& item) {
        item.assign(1000, made);
        return made++ < 100;
    });
    for (int i = 0; i < 100; ++i) {
        const std::vector<int>* item = relay.next();
        REQUIRE(item != nullptr);
        std::this_thread::yield();
        REQUIRE(*item == std::vector<int>(1000, i));
    }
}

TEST_CASE("items are used again: no more are made than the depth needs", "[text]") {
    std::set<const int*> seen;
    int made = 0;
    Relay<int> relay([&](int& item) { return item = made, made++ < 500; }, 3);
    while (const int* item = relay.next()) seen.insert(item);
    CHECK(seen.size() <= 4);
}

TEST_CASE("an exception comes out after the items before it", "[text]") {
    for (const int good : {0, 1, 2, 3, 50}) {
        CAPTURE(good);
        int made = 0;
        Relay<int> relay([&](int& item) -> bool {
            if (made == good) throw std::runtime_error("line 7");
            item = made++;
            return true;
        });
        for (int i = 0; i < good; ++i) {
            const int* item = relay.next();
            REQUIRE(item != nullptr);
            CHECK(*item == i);
        }
        CHECK_THROWS_WITH(relay.next(), "line 7");
        CHECK(relay.next() == nullptr);
    }
}

TEST_CASE("a relay may be given up at any time", "[text]") {
    REQUIRE(rc::check("early destruction", [] {
        const int taken = *rc::gen::inRange(0, 20);
        std::atomic<int> made{0};
        {
            Relay<int> relay([&](int& item) {
                item = made++;
                return true;  // without end
            });
            for (int i = 0; i < taken; ++i) RC_ASSERT(relay.next() != nullptr);
        }
        const int at_end = made;
        RC_ASSERT(at_end >= taken);
        RC_ASSERT(at_end <= taken + 4);  // it runs ahead no farther than its depth
        std::this_thread::yield();
        RC_ASSERT(made == at_end);
    }));
    const Relay<int> failing([](int&) -> bool { throw std::runtime_error("never asked for"); });
}

}  // namespace durograde
