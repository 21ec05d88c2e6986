#include "heat/fit.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "logs.hpp"
#include "text/diagnostic.hpp"

namespace durograde {
namespace {

using heat::fit_heater;
using heat::HeaterFit;
using heat_test::controlled_log;
using heat_test::log_of;
using heat_test::Run;

/// A run of a heater as tools have them; the ranges are plausible ones, no source.
Run random_run(std::uint64_t seed) {
    sheets::Random random(seed);
    Run run;
    run.seed = seed + 1'000'000;
    run.heater = {random.between(20, 80) * 0.1, random.between(30, 150) * 1e-4,
                  random.between(15, 35) * 1.0};
    run.from_c = run.heater.ambient_c + random.between(0, 30);
    const double end_c = run.heater.ambient_c + run.heater.rise_k_s / run.heater.loss_per_s;
    const double top_c = std::min(random.between(190, 290) * 1.0, 0.9 * end_c);
    run.on_s = heat::heating_s(run.heater, run.from_c, top_c);
    run.step_s = random.between(2, 8) * 0.25;
    run.on_s = run.step_s * std::ceil(run.on_s / run.step_s);
    run.off_s = 1.2 / run.heater.loss_per_s;  // down to a third of what it was above ambient
    run.noise_k = random.between(5, 100) * 0.01;
    return run;
}

std::string code_of(const heat::HeaterLog& log) {
    try {
        fit_heater(log);
    } catch (const Failure& failure) {
        CHECK(failure.exit() == Exit::bad_input);
        CHECK(!failure.diagnostics().front().mend.empty());
        return failure.diagnostics().front().code;
    }
    return "fitted";
}

}  // namespace

TEST_CASE("a log without noise gives the heater back", "[heat][fit]") {
    for (std::uint64_t seed = 1; seed <= 200; ++seed) {
        Run run = random_run(seed);
        run.noise_k = 0;
        const HeaterFit fit = fit_heater(log_of(run));
        INFO("seed " << seed);
        CHECK(fit.rise_k_s.value == Approx(run.heater.rise_k_s).epsilon(1e-6));
        CHECK(fit.loss_per_s.value == Approx(run.heater.loss_per_s).epsilon(1e-6));
        CHECK(fit.ambient_c.value == Approx(run.heater.ambient_c).epsilon(1e-6));
        CHECK(fit.rms_k < 1e-6);
        CHECK(fit.r_squared > 1 - 1e-9);
    }
}

/// With normal noise, 99.7 % of the truths lie within 3 standard errors, and their distances in
/// standard errors have a root mean square of 1 (definition of the standard error). Of 400 seeds,
/// the root mean square strays from it by 1/√800 = 0.035 (standard error of a normal sample's
/// deviation); 0.15 is four of these. Errors are widened where neighbours lean the same way, which
/// by chance half of the seeds do a little: it may come out lower.
TEST_CASE("noise moves the values as far as the standard errors say", "[heat][fit]") {
    constexpr int seeds = 400;
    int within = 0;
    double rise = 0, loss = 0, ambient = 0;
    for (std::uint64_t seed = 1; seed <= seeds; ++seed) {
        const Run run = random_run(seed);
        const HeaterFit fit = fit_heater(log_of(run));
        const double r = (fit.rise_k_s.value - run.heater.rise_k_s) / fit.rise_k_s.error;
        const double l = (fit.loss_per_s.value - run.heater.loss_per_s) / fit.loss_per_s.error;
        const double a = (fit.ambient_c.value - run.heater.ambient_c) / fit.ambient_c.error;
        if (std::abs(r) <= 3 && std::abs(l) <= 3 && std::abs(a) <= 3) ++within;
        rise += r * r / seeds;
        loss += l * l / seeds;
        ambient += a * a / seeds;
        INFO("seed " << seed);
        // With some hundred rows the root mean square is the noise's within a fifth.
        CHECK(fit.rms_k == Approx(run.noise_k).epsilon(0.2));
    }
    CHECK(within >= seeds * 98 / 100);
    for (const double squares : {rise, loss, ambient}) {
        CHECK(std::sqrt(squares) == Approx(1.0).margin(0.15));
    }
}

/// As above, from what a set-point tells: the last 10 K, where the controller does what it likes,
/// are left out.
TEST_CASE("a log of set-points gives the heater within its standard errors", "[heat][fit]") {
    constexpr int seeds = 200;
    int within = 0;
    for (std::uint64_t seed = 1; seed <= seeds; ++seed) {
        const Run run = random_run(seed);
        const double end_c = run.heater.ambient_c + run.heater.rise_k_s / run.heater.loss_per_s;
        const double set_c = std::min(220.0, 0.8 * end_c);
        const double held_s = heat::heating_s(run.heater, run.from_c, set_c) + 60;
        const HeaterFit fit = fit_heater(heat_test::read_log(controlled_log(run, set_c, held_s)));
        const auto is_near = [](const heat::Estimate& found, double truth) {
            return std::abs(found.value - truth) <= 3 * found.error;
        };
        if (is_near(fit.rise_k_s, run.heater.rise_k_s) &&
            is_near(fit.loss_per_s, run.heater.loss_per_s) &&
            is_near(fit.ambient_c, run.heater.ambient_c)) {
            ++within;
        }
    }
    CHECK(within >= seeds * 98 / 100);
}

TEST_CASE("errors that lean the same way count for fewer rows", "[heat][fit]") {
    Run run;
    run.noise_k = 0.5;
    heat::HeaterLog log = log_of(run);
    const double alone = fit_heater(log).rise_k_s.error;
    // Each error is 0.9 of the one before and a little new: the sizes stay, their number does not.
    const heat::HeaterLog clean = log_of({});
    double error_k = 0;
    for (std::size_t i = 0; i < log.samples.size(); ++i) {
        const double fresh = log.samples[i].temperature_c - clean.samples[i].temperature_c;
        error_k = 0.9 * error_k + std::sqrt(1 - 0.81) * fresh;
        log.samples[i].temperature_c = clean.samples[i].temperature_c + error_k;
    }
    CHECK(fit_heater(log).rise_k_s.error > 2 * alone);
}

TEST_CASE("breaks in a log part it into stretches with a begin of their own", "[heat][fit]") {
    const Run run;
    heat::HeaterLog log = log_of(run);
    // Somebody held a cold brush to it between two rows: 30 K at once, known to nobody.
    log.samples[120].goes_on = false;
    double celsius = log.samples[120].temperature_c - 30;
    for (std::size_t i = 121; i < log.samples.size(); ++i) {
        log.samples[i].temperature_c = celsius;
        celsius = heat::temperature_after(run.heater, celsius, 0, run.step_s);
    }
    const HeaterFit fit = fit_heater(log);
    CHECK(fit.stretches == 2);
    CHECK(fit.rise_k_s.value == Approx(4.0).epsilon(1e-6));
    CHECK(fit.loss_per_s.value == Approx(0.010).epsilon(1e-6));
    log.samples[120].goes_on = true;
    // Taken for one curve, it is none.
    CHECK(code_of(log) == "not-determined");
}

TEST_CASE("a measured ambient is taken as it is", "[heat][fit]") {
    Run run;
    run.off_s = 0;
    heat::HeaterLog log = log_of(run);
    CHECK(code_of(log) == "no-cooling");
    log.ambient_c = 25.0;
    log.ambient_spread_k = 0.25;
    const HeaterFit fit = fit_heater(log);
    CHECK(fit.rise_k_s.value == Approx(4.0).epsilon(1e-6));
    CHECK(fit.loss_per_s.value == Approx(0.010).epsilon(1e-6));
    CHECK((fit.ambient_c.value == 25.0 && fit.ambient_c.error == 0.25 && fit.ambient_given));
}

TEST_CASE("a log that does not determine the heater is refused", "[heat][fit]") {
    CHECK(code_of({.name = "empty"}) == "log-too-short");
    CHECK(code_of(log_of({.on_s = 10, .off_s = 8})) == "log-too-short");
    CHECK(code_of(log_of({.from_c = 25, .on_s = 0, .off_s = 300})) == "constant-temperature");
    CHECK(code_of(log_of({.from_c = 240, .on_s = 0, .off_s = 300})) == "no-heating");
    CHECK(code_of(log_of({.from_c = 240, .on_s = 4, .off_s = 300})) == "no-heating");
    CHECK(code_of(log_of({.on_s = 80, .off_s = 0})) == "no-cooling");
    CHECK(code_of(log_of({.on_s = 80, .off_s = 9})) == "no-cooling");
    // Some cooling, yet too little for the noise.
    CHECK(code_of(log_of({.on_s = 20, .off_s = 12, .noise_k = 1.0})) == "not-determined");
    CHECK(code_of(log_of({.on_s = 80, .off_s = 160, .noise_k = 1.0})) == "fitted");
}

TEST_CASE("a log of something else is refused", "[heat][fit]") {
    heat::HeaterLog turned = log_of({});
    for (heat::HeaterSample& sample : turned.samples) sample.duty = 1 - sample.duty;
    CHECK(code_of(turned) == "no-heating");
    heat::HeaterLog noise = log_of({});
    sheets::Random random(7);
    for (heat::HeaterSample& sample : noise.samples) {
        sample.temperature_c = random.between(20, 200);
    }
    CHECK(code_of(noise) != "fitted");
    heat::HeaterLog fahrenheit = log_of({});
    for (heat::HeaterSample& sample : fahrenheit.samples) {
        sample.temperature_c = sample.temperature_c * 9 / 5 + 132;  // an ambient of 177
    }
    CHECK(code_of(fahrenheit) == "no-such-heater");
}

TEST_CASE("a fitted heater is written as the plan wants it", "[heat][fit]") {
    HeaterFit fit;
    fit.rise_k_s.value = 4.01234;
    fit.loss_per_s.value = 0.0098765;
    fit.ambient_c.value = 24.96;
    CHECK(heat::toml(fit) == "heater = { rise = 4.0123, loss = 0.009877, ambient = 25 }\n");
}

}  // namespace durograde
