#include "heat/heater_log.hpp"

#include <catch2/catch.hpp>

#include "logs.hpp"
#include "text/diagnostic.hpp"

namespace durograde {
namespace {

using heat_test::read_log;

/// "code line:column" of every fault.
std::vector<std::string> faults_of(const std::string& text) {
    try {
        read_log(text);
    } catch (const Failure& failure) {
        CHECK(failure.exit() == Exit::bad_input);
        std::vector<std::string> faults;
        for (const Diagnostic& fault : failure.diagnostics()) {
            CHECK(!fault.mend.empty());
            faults.push_back(fault.code + " " + std::to_string(fault.place.line) + ":" +
                             std::to_string(fault.place.column));
        }
        return faults;
    }
    return {};
}

using Faults = std::vector<std::string>;

}  // namespace

TEST_CASE("columns stand in any order, others are passed over", "[heat][fit]") {
    const heat::HeaterLog log = read_log(
        "# tool 1, no fan\r\n"
        "note; temperature ;\"duty\";time\r\n"
        "\r\n"
        "cold;25.0;1;0 # begin\r\n"
        ";29;0.5;1\r\n"
        ";31;0;2\r\n");
    REQUIRE(log.samples.size() == 3);
    CHECK((log.samples[1].time_s == 1 && log.samples[1].temperature_c == 29));
    CHECK((log.samples[0].duty == 1 && log.samples[1].duty == 0.5 && log.samples[2].duty == 0));
    CHECK((log.samples[0].goes_on && log.samples[1].goes_on && !log.samples[2].goes_on));
    CHECK(!log.ambient_c);
}

TEST_CASE("a measured ambient is averaged", "[heat][fit]") {
    const heat::HeaterLog log =
        read_log("time,ambient,temperature,duty\n0,20,25,1\n1,22,29,1\n2,24,33,1\n");
    REQUIRE(log.ambient_c);
    CHECK(*log.ambient_c == Approx(22));
    CHECK(log.ambient_spread_k == Approx(std::sqrt(8.0 / 3)));
}

TEST_CASE("a set-point tells the duty away from it", "[heat][fit]") {
    const heat::HeaterLog log = read_log(
        "time,temperature,set_point\n"
        "0,25,220\n1,209.9,220\n2,210,220\n3,230,220\n4,231,220\n5,231,0\n6,8,0\n7,8,0\n");
    const std::vector<bool> goes_on = {true, false, false, false, false, true, true, false};
    const std::vector<double> duty = {1, 1, 0, 0, 0, 0, 0, 0};
    for (std::size_t i = 0; i < goes_on.size(); ++i) {
        INFO("row " << i);
        CHECK(log.samples[i].goes_on == goes_on[i]);
        if (goes_on[i]) CHECK(log.samples[i].duty == duty[i]);
    }
}

TEST_CASE("nothing is known over a gap", "[heat][fit]") {
    const heat::HeaterLog log =
        read_log("time,temperature,duty\n0,25,1\n1,29,1\n2,33,1\n7,50,1\n12.1,60,1\n13,64,1\n");
    CHECK(log.samples[2].goes_on);   // 5 s: five times the usual
    CHECK(!log.samples[3].goes_on);  // 5.1 s
}

TEST_CASE("what is wrong with a log is told with its place", "[heat][fit]") {
    CHECK(faults_of("") == Faults{"no-columns 0:0"});
    CHECK(faults_of("# nothing\n\n") == Faults{"no-columns 2:0"});
    CHECK(faults_of("0,25,1\n").front() == "no-column 1:1");
    CHECK(faults_of("time,temp,duty\n") == Faults{"no-column 1:1"});
    CHECK(faults_of("time,temperature\n") == Faults{"no-column 1:1"});
    CHECK(faults_of("time,duty,temperature,time\n") == Faults{"duplicate 1:23"});
    const std::string head = "time,temperature,duty\n0,25,1\n";
    CHECK(faults_of(head).empty());
    CHECK(faults_of(head + "1,,1\n") == Faults{"not-a-number 3:3"});
    CHECK(faults_of(head + "1,x9,1\n") == Faults{"not-a-number 3:3"});
    CHECK(faults_of(head + "1, 29.5x,1\n") == Faults{"not-a-number 3:4"});
    CHECK(faults_of(head + "1,nan,1\n") == Faults{"not-a-number 3:3"});
    CHECK(faults_of(head + "1,1e999,1\n") == Faults{"not-a-number 3:3"});
    CHECK(faults_of(head + "1,29\n") == Faults{"no-value 3:5"});
    CHECK(faults_of(head + "1,29,100\n") == Faults{"out-of-range 3:6"});
    CHECK(faults_of(head + "1,-127,1\n") == Faults{"out-of-range 3:3"});
    CHECK(faults_of(head + "0,29,1\n") == Faults{"time-not-rising 3:1"});
    CHECK(faults_of(head + "1,x,1\n2,29,2\n") == Faults{"not-a-number 3:3", "out-of-range 4:6"});
}

TEST_CASE("faults and rows of a log are bounded", "[heat][fit]") {
    std::string text = "time,temperature,duty\n";
    for (int i = 0; i < 100; ++i) text += "x,25,1\n";
    CHECK(faults_of(text).size() == 20);
    text = "time,temperature,duty\n";
    for (std::size_t i = 0; i < heat::most_log_rows; ++i) text += std::to_string(i) + ",25,1\n";
    CHECK(faults_of(text).empty());
    CHECK(faults_of(text + "1e7,25,1\n") == Faults{"log-too-long 200002:0"});
}

}  // namespace durograde
