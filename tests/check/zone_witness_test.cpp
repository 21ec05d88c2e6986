#include "check/zone_witness.hpp"

#include <catch2/catch.hpp>

#include "plan/load.hpp"
#include "plans.hpp"

/// A stroke of 20 mm along x through the middle of a part of two halves, cut by hand.
namespace durograde {
namespace {

using check::Layer;
using check::Run;
using check::Stroke;
using check::Target;

class HandCut {
  public:
    explicit HandCut(const std::string& extra = "", const char* zones = support::halves_text)
        : plan_(plan::load_text(support::two_tools_text(
                                    "", "", std::string(zones) + "[sheet]\noutside = 0\n" + extra),
                                "halves.toml")),
          targets_(plan_),
          witness_(plan_, targets_, plan_.split.tolerance_mm),
          frame_({50, 60, 0, 0}, 0, nullptr) {
        layer_.strokes.emplace_back();
        Stroke& stroke = layer_.strokes.back();
        stroke.part = 0;
        stroke.start = {40, 60, 0.2};
        check::Segment segment;
        segment.to = {60, 60, 0.2};
        segment.length_mm = 20;
        segment.line = 7;
        layer_.segments.push_back(segment);
        stroke.last = 1;
    }
    /// Runs of the zones of these numbers, each up to so many mm along the stroke.
    HandCut& cut(std::initializer_list<std::pair<int, double>> runs) {
        double at_mm = 0.0;
        for (const auto& [zone, end_mm] : runs) {
            layer_.runs.push_back({at_mm, end_mm, targets_.of_zone(zone, 0, 190), true});
            at_mm = end_mm;
        }
        layer_.strokes.back().last_run = static_cast<std::uint32_t>(layer_.runs.size());
        return *this;
    }
    std::vector<std::uint64_t> doubts() {
        witness_.see(layer_, layer_.strokes.back(), frame_);
        return layer_.doubts;
    }

  private:
    plan::Plan plan_;
    check::Targets targets_;
    check::ZoneWitness witness_;
    check::PartFrame frame_;
    Layer layer_;
};

using Lines = std::vector<std::uint64_t>;

}  // namespace

TEST_CASE("a stroke that is cut where the conditions say is not doubted", "[check][truth]") {
    CHECK(HandCut().cut({{0, 10}, {1, 20}}).doubts().empty());
    // Within the tolerance of 0.02 mm either side is right.
    CHECK(HandCut().cut({{0, 10.015}, {1, 20}}).doubts().empty());
    CHECK(HandCut().cut({{0, 9.985}, {1, 20}}).doubts().empty());
}

TEST_CASE("a stroke that is cut elsewhere, or for the other zone, is doubted", "[check][truth]") {
    CHECK(HandCut().cut({{1, 10}, {0, 20}}).doubts() == Lines{7, 7, 7, 7, 7, 7, 7, 7});
    CHECK(HandCut().cut({{0, 20}}).doubts() == Lines{7});
    CHECK(HandCut().cut({{0, 10.12}, {1, 20}}).doubts() == Lines{7});
    CHECK(HandCut().cut({{0, 9.88}, {1, 20}}).doubts() == Lines{7});
    // A zone that begins and ends within one run.
    const char* const three =
        "[[zone]]\nname = \"rib\"\nwhere = \"abs(x) < 0.5\"\ntool = 1\n"
        "[[zone]]\nname = \"grip\"\nwhere = \"true\"\ntool = 0\n";
    CHECK(HandCut("", three).cut({{1, 20}}).doubts() == Lines{7});
    CHECK(HandCut("", three).cut({{1, 9.5}, {0, 10.5}, {1, 20}}).doubts().empty());
}

TEST_CASE("where boundaries interlock, either side is right as far as they are shifted",
          "[check][truth]") {
    const std::string interlock = "[split]\ninterlock = 0.3\n";
    CHECK(HandCut(interlock).cut({{0, 10.3}, {1, 20}}).doubts().empty());
    CHECK(HandCut(interlock).cut({{0, 9.7}, {1, 20}}).doubts().empty());
    CHECK(HandCut(interlock).cut({{0, 11}, {1, 20}}).doubts() == Lines{7});
}

}  // namespace durograde
