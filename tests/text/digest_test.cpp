#include "text/digest.hpp"

#include <rapidcheck.h>

#include <catch2/catch.hpp>

namespace durograde {

// XXH3_128bits of nothing with seed 0, as the reference program prints it (xxhsum -H128 /dev/null,
// Debian's xxhash 0.8.1).
TEST_CASE("digest of nothing", "[text]") {
    CHECK(Digest{}.hex() == "99aa06d3014798d86001c324468d497f");
}

TEST_CASE("a digest does not depend on how the bytes come", "[text]") {
    REQUIRE(rc::check("in two parts", [](const std::string& text, std::size_t where) {
        const std::size_t at = text.empty() ? 0 : where % text.size();
        Digest whole, parts;
        whole.add(text);
        parts.add(std::string_view(text).substr(0, at));
        parts.add(std::string_view(text).substr(at));
        RC_ASSERT(whole.hex() == parts.hex());
        parts.add("x");
        RC_ASSERT(whole.hex() != parts.hex());
    }));
}

}  // namespace durograde
