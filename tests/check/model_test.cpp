#include <rapidcheck.h>

#include "check/heat_model.hpp"
#include "check/spelling.hpp"
#include "motion/clock.hpp"
#include "sheet_case.hpp"

/// Time, heat and spelling as the checker has them.
namespace durograde::check_tests {
namespace {

plan::Plan one_tool(const plan::Heater& heater) {
    plan::Plan plan;
    plan.tools.resize(1);
    plan.tools[0].heater = heater;
    return plan;
}

/// The heater by many small steps of dT/dt = rise·u − loss·(T − ambient), u held at the set-point.
double by_small_steps(const plan::Heater& heater, double celsius, double set_c, double seconds) {
    constexpr int steps = 200'000;
    const double dt = seconds / steps;
    for (int i = 0; i < steps; ++i) {
        const double lost = heater.loss_per_s * (celsius - heater.ambient_c);
        const double power = std::clamp((set_c - celsius) / dt + lost, 0.0, heater.rise_k_s);
        celsius += (power - lost) * dt;
    }
    return celsius;
}

}  // namespace

TEST_CASE("check: the heater in closed form is the heater by small steps") {
    const bool ok = rc::check([] {
        const plan::Heater heater{*rc::gen::inRange(5, 80) * 0.1, *rc::gen::inRange(2, 30) * 0.001,
                                  25.0};
        const plan::Plan plan = one_tool(heater);
        check::Clock clock(plan.machine);
        check::HeatModel model(plan, clock);
        double celsius = 25.0;
        for (int change = 0; change < 3; ++change) {
            const double set_c = *rc::gen::inRange(0, 280);
            const double seconds = *rc::gen::inRange(1, 200);
            model.set(0, set_c);
            clock.pause(seconds);
            celsius = by_small_steps(heater, celsius, set_c, seconds);
            RC_ASSERT(std::abs(model.now(0).low_c - celsius) < 0.05);
            RC_ASSERT(std::abs(model.now(0).high_c - celsius) < 0.05);
        }
    });
    CHECK(ok);
}

TEST_CASE("check: a wait brings a tool to its set-point, and a new one takes it away") {
    const plan::Plan plan = one_tool({4.0, 0.01, 25.0});
    check::Clock clock(plan.machine);
    check::HeatModel model(plan, clock);
    model.set(0, 200.0);
    CHECK_FALSE(model.now(0).reached);
    // ln((425 − 25) / (425 − 200)) / 0.01
    CHECK(model.wait(0, true) == Approx(57.54).margin(0.01));
    CHECK(model.now(0).reached);
    CHECK(model.now(0).high_c == 200.0);
    model.set(0, 200.0);
    CHECK(model.now(0).reached);
    model.set(0, 190.0);
    CHECK_FALSE(model.now(0).reached);
}

TEST_CASE("check: time lies between its bounds for every sheet") {
    for (std::uint64_t seed = 0; seed < 60; ++seed) {
        sheets::Style style = sheets::style_from_seed(seed);
        const std::string text = sheets::make_sheet(style);
        const plan::Plan plan = plan::load_text(random_plan_text(style, seed), "made-up.toml");
        const TextFile file(text);
        check::Reader reader(plan, file.fd(), "text");
        check::Clock clock(plan.machine);
        motion::Clock planner(plan.machine);
        program::SaidLimits said;
        while (reader.next()) {
            const check::Act& act = reader.act();
            if (act.kind == check::Kind::setting) {
                clock.adopt(reader.state().settings);
                program::read_limits(reader.line(), {}, plan.machine.read.speed_limit_per_s, said);
                planner.adopt(said);
            }
            if (!act.moves()) continue;
            clock.move(act, reader.state());
            planner.set_speed_factor(reader.state().speed_factor);
            const motion::Drive drive = act.kind == check::Kind::bead ? motion::Drive::print
                                        : act.kind == check::Kind::filament
                                            ? motion::Drive::filament
                                            : motion::Drive::travel;
            const motion::Move move{act.to.x - act.from.x,
                                    act.to.y - act.from.y,
                                    act.to.z - act.from.z,
                                    act.e_mm,
                                    act.length_mm,
                                    act.feed_mm_min,
                                    drive};
            if (!act.is_arc) {
                planner.move(move);
                continue;
            }
            const program::Arc arc{act.arc.center_x, act.arc.center_y, act.arc.radius,
                                   act.arc.sweep_rad};
            planner.move(move, motion::bend_of(arc, {act.from.x, act.from.y, act.from.z},
                                               {act.to.x, act.to.y, act.to.z}));
        }
        INFO("seed " << seed);
        CHECK(clock.least_s() <= planner.now_s() * (1 + 1e-9));
        CHECK(planner.now_s() <= clock.most_s() * (1 + 1e-9));
        CHECK(clock.least_s() > 0.2 * clock.most_s());
    }
}

TEST_CASE("check: a command of the plan is known by its words, whatever its numbers") {
    const auto form = std::get<grammar::CommandTemplate>(
        grammar::parse_command_template("HEAT T{tool} TO {temperature}C"));
    check::Said said;
    REQUIRE(check::is_spelled("HEAT T2 TO 192.5C", form, said));
    CHECK(said.tool == 2.0);
    CHECK(said.temperature == 192.5);
    CHECK_FALSE(said.from.has_value());
    for (const char* text :
         {"HEAT T2 TO 192.5", "HEAT T2 TO 192.5C ", "HEAT T TO 5C", "HEAT T2 TO infC",
          "HEAT T2 TO nanC", "heat T2 TO 5C", "", "HEAT T2 TO 1e2C"}) {
        INFO(text);
        CHECK_FALSE(check::is_spelled(text, form, said));
    }
}

}  // namespace durograde::check_tests
