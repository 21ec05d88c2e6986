#include <rapidcheck.h>

#include <catch2/catch.hpp>
#include <clocale>
#include <cmath>
#include <locale>

#include "program/writer.hpp"
#include "random.hpp"
#include "reading.hpp"

namespace durograde {
namespace {

using program::Frame;
using program::Point;

Frame random_frame(sheets::Random& random) {
    Frame frame;
    frame.inch = random.chance(30);
    frame.relative = random.chance(40);
    frame.e_relative = random.chance(50);
    if (random.chance(20)) frame.volumetric_area_mm2 = 2.405281875;
    return frame;
}

/// A reader that stands at (10, 10, 1) in `frame`, and a writer beside it.
struct Pair {
    explicit Pair(const Frame& frame) : writer(out, {4, 4, 6, 2}, "\n") {
        program::Dialect dialect;
        dialect.reads.distance_mode_sets_e = false;
        read = std::make_unique<program_test::Reading>(dialect);
        (*read)("G21\nG90\nG1 X10 Y10 Z1 F600\nG92 E0");
        if (frame.volumetric_area_mm2 > 0) (*read)("M200 D1.75");
        if (frame.inch) (*read)("G20");
        if (frame.relative) (*read)("G91");
        if (frame.e_relative) (*read)("M83");
        writer.adopt(read->state());
    }
    /// Lets the reader read what has been written.
    program::Step exchange() {
        std::string text(out.view());
        text.pop_back();
        for (const char c : text)
            RC_ASSERT((c != 'e' && c != 'n' && c != 'i'));  // exponent, nan, inf
        RC_ASSERT(text.find("-0.0000 ") == std::string::npos);
        const program::Step step = (*read)(text);
        out.clear();
        return step;
    }

    ByteBuffer out;
    program::Writer writer;
    std::unique_ptr<program_test::Reading> read;
};

Point random_point(sheets::Random& random) {
    const auto any = [&](int most) { return random.between(0, most * 10'000) * 1e-4 + 3.3e-6; };
    return {any(150), any(150), any(90)};
}

}  // namespace

TEST_CASE("writer: a reader comes to where the writer says", "[program]") {
    REQUIRE(rc::check("in every frame", [](std::uint64_t seed) {
        sheets::Random random(seed);
        Pair pair(random_frame(random));
        const double half_unit = 0.5e-4 * (pair.writer.frame().inch ? 25.4 : 1.0) + 1e-9;
        for (int i = 0; i < 30; ++i) {
            // As the cuts of a stroke are: rounded to what can be written.
            const Point to = pair.writer.rounded(random_point(random));
            const double e = random.between(1, 400'000) * 1e-5;
            if (random.chance(30)) {
                pair.writer.travel(to, 3000 + i);
                RC_ASSERT(pair.exchange().kind == program::StepKind::travel);
            } else {
                pair.writer.bead(to, e, 600 + i);
                RC_ASSERT(pair.exchange().kind == program::StepKind::bead);
            }
            RC_ASSERT(distance(pair.read->state().position, to) < half_unit);
            RC_ASSERT(std::abs(pair.read->state().feed_mm_min - pair.writer.feed_mm_min()) < 0.2);
        }
    }));
}

TEST_CASE("writer: what rounding leaves of relative amounts is carried on", "[program]") {
    REQUIRE(rc::check("the sum stays within half a unit", [](std::uint64_t seed) {
        sheets::Random random(seed);
        Frame frame = random_frame(random);
        frame.e_relative = true;
        Pair pair(frame);
        const double unit_mm = 1e-6 * pair.writer.frame().e_unit_mm();
        double exact = 0.0, written = 0.0;
        for (int i = 0; i < 200; ++i) {
            const double e = random.between(-3'000'000, 9'000'000) * 1.37e-8;
            if (random.chance(10)) {
                pair.writer.owe(e);
                exact += e;
                continue;
            }
            exact += e;
            pair.writer.filament(e, 600);
            written += pair.exchange().e_mm;
            // 1e-9 is what the reader takes for no filament at all.
            RC_ASSERT(std::abs(written - exact) <= unit_mm / 2 + 1e-9 + 1e-12 * i);
        }
    }));
}

TEST_CASE("writer: absolute amounts follow the exact count", "[program]") {
    REQUIRE(rc::check("the count stays within half a unit", [](std::uint64_t seed) {
        sheets::Random random(seed);
        Frame frame = random_frame(random);
        frame.e_relative = false;
        Pair pair(frame);
        double exact = pair.writer.e_register();
        for (int i = 0; i < 200; ++i) {
            const double e = random.between(1, 9'000'000) * 1.37e-8;
            exact += e / pair.writer.frame().e_unit_mm();
            pair.writer.filament(e, 600);
            pair.exchange();
            RC_ASSERT(std::abs(pair.read->state().e_register - exact) <= 0.5e-6 + 1e-9);
        }
    }));
}

TEST_CASE("writer: the way from any frame to any other leads a reader there", "[program]") {
    REQUIRE(rc::check("read back", [](std::uint64_t seed) {
        sheets::Random random(seed);
        Pair pair(random_frame(random));
        for (int i = 0; i < 5; ++i) {
            const Frame to = random_frame(random);
            const double e_register = random.between(0, 9'999'999) * 1e-6;
            if (to == pair.writer.frame()) continue;
            pair.writer.change_frame(to, e_register);
            pair.exchange();
            const Frame& read = pair.read->state().frame;
            RC_ASSERT((read.inch == to.inch && read.relative == to.relative));
            RC_ASSERT(read.e_relative == to.e_relative);
            RC_ASSERT(std::abs(read.volumetric_area_mm2 - to.volumetric_area_mm2) < 1e-6);
            if (!to.e_relative) {
                RC_ASSERT(std::abs(pair.read->state().e_register - e_register) < 1e-9);
            }
        }
    }));
}

// Increments are rounded one by one: between points that no increment meets, the rest must be
// carried too.
TEST_CASE("writer: relative moves do not drift", "[program]") {
    Frame frame;
    frame.relative = true;
    Pair pair(frame);
    Point to = pair.writer.position();
    for (int i = 0; i < 100; ++i) {
        to.x += 0.00004;
        pair.writer.travel(to, 600);
        if (!pair.out.view().empty()) pair.exchange();  // else it stands there already
    }
    CHECK(std::abs(pair.read->state().position.x - to.x) <= 0.5e-4);
}

namespace {

class CommaPoint final : public std::numpunct<char> {
    char do_decimal_point() const override { return ','; }
    char do_thousands_sep() const override { return '.'; }
    std::string do_grouping() const override { return "\3"; }
};

}  // namespace

TEST_CASE("a locale with a decimal comma changes neither reading nor writing", "[program]") {
    const std::locale before = std::locale::global(std::locale(std::locale(), new CommaPoint));
    const std::string c_before = std::setlocale(LC_ALL, nullptr);
    for (const char* name : {"de_DE.UTF-8", "de_DE.utf8", "fr_FR.UTF-8"}) {
        if (std::setlocale(LC_ALL, name) != nullptr) break;  // where one is installed
    }
    Pair pair({});
    pair.writer.bead({1234.5, 0.25, 1}, 1234.5, 1234.5);
    const std::string text(pair.out.view());
    const program::Step step = pair.exchange();
    std::setlocale(LC_ALL, c_before.c_str());
    std::locale::global(before);
    CHECK(text == "G1 X1234.5000 Y0.2500 E1234.500000 F1234.50\n");
    CHECK(step.to.x == 1234.5);
    CHECK(step.e_mm == Approx(1234.5).epsilon(1e-12));
}

}  // namespace durograde
