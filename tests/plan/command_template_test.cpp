#include "command_template.hpp"

#include <rapidcheck.h>

#include <catch2/catch.hpp>
#include <string>
#include <variant>

using namespace durograde::grammar;

namespace {

std::string expanded(const std::string& text, const SlotValues& values) {
    const auto result = parse_command_template(text);
    if (const auto* error = std::get_if<TemplateError>(&result)) FAIL(text << ": " << error->text);
    std::string out;
    expand(std::get<CommandTemplate>(result), values, out);
    return out;
}

TemplateError error_of(const std::string& text) {
    INFO(text);
    const auto result = parse_command_template(text);
    REQUIRE(std::holds_alternative<TemplateError>(result));
    return std::get<TemplateError>(result);
}

SlotValues sample() {
    SlotValues values;
    values.tool = 3;
    values.from = 1;
    values.to = 2;
    values.layer = 41;
    values.temperature_c = 222.5;
    values.x_mm = -0.25;
    values.y_mm = 120;
    values.z_mm = 0.1 + 0.2;
    values.seconds = 7.0004;
    return values;
}

}  // namespace

TEST_CASE("slots are filled in", "[template]") {
    const auto [text, expected] = GENERATE(table<std::string, std::string>({
        {"M104 T{tool} S{temperature}", "M104 T3 S222.5"},
        {"T{to} ; was {from}", "T2 ; was 1"},
        {"G0 X{x} Y{y} Z{z}", "G0 X-0.25 Y120 Z0.3"},
        {"G4 S{seconds}", "G4 S7"},
        {"; layer {layer}", "; layer 41"},
        {"{tool}{tool}", "33"},
        {"{{{tool}}}", "{3}"},
        {"a {{b}} c", "a {b} c"},
        {"\ttab \xC3\xA4", "\ttab \xC3\xA4"},
        {"", ""},
    }));
    CHECK(expanded(text, sample()) == expected);
}

TEST_CASE("numbers have no exponent, no trailing zero and no negative zero", "[template]") {
    SlotValues values;
    values.x_mm = -0.0001;
    values.y_mm = 100000.125;
    values.z_mm = 0.00049;
    values.temperature_c = 219.9996;
    CHECK(expanded("{x} {y} {z} {temperature}", values) == "0 100000.125 0 220");
}

TEST_CASE("a wrong template is named at its place, with a remedy", "[template]") {
    struct Row {
        const char* text;
        std::uint32_t column;
        const char* says;
    };
    const Row row = GENERATE(values<Row>({
        {"M104 S{temprature}", 8, "did you mean {temperature}"},
        {"T{tol}", 3, "did you mean {tool}"},
        {"T{tools}", 3, "did you mean {tool}"},
        {"T{ to }", 3, "{to}"},
        {"T{q}", 3, "Known here"},
        {"T{}", 3, "Known here"},
        {"T{tool", 2, "not closed"},
        {"T{", 2, "not closed"},
        {"T{to{x}", 2, "not closed"},
        {"T}", 2, "closes nothing"},
        {"{tool}}", 7, "closes nothing"},
        {"T1\nM104 S999", 3, "line"},
        {"T1\r", 3, "line"},
        {"T1\x1B[2J", 3, "control"},
        {"\x7F", 1, "control"},
    }));
    INFO(row.text);
    const TemplateError error = error_of(row.text);
    CHECK(error.column == row.column);
    const std::string all = error.text + "; " + error.mend;
    INFO(all);
    CHECK(all.find(row.says) != std::string::npos);
    CHECK_FALSE(error.mend.empty());
}

TEST_CASE("text without braces comes back as it is", "[template]") {
    const bool held = rc::check("identity", [] {
        const auto text = *rc::gen::container<std::string>(
            rc::gen::distinctFrom(rc::gen::distinctFrom(rc::gen::inRange(' ', '~'), '{'), '}'));
        RC_PRE(text.size() <= template_length_limit);
        const auto result = parse_command_template(text);
        RC_ASSERT(std::holds_alternative<CommandTemplate>(result));
        std::string out;
        expand(std::get<CommandTemplate>(result), {}, out);
        RC_ASSERT(out == text);
    });
    CHECK(held);
}

TEST_CASE("a template has at most 256 bytes", "[template]") {
    CHECK(std::holds_alternative<CommandTemplate>(parse_command_template(std::string(256, 'M'))));
    const auto result = parse_command_template(std::string(257, 'M'));
    REQUIRE(std::holds_alternative<TemplateError>(result));
    CHECK(std::get<TemplateError>(result).column == 257);
    CHECK_FALSE(std::get<TemplateError>(result).mend.empty());
}

TEST_CASE("any bytes give a template or an error in them", "[template]") {
    const bool held = rc::check("total", [] {
        const auto text = *rc::gen::container<std::string>(rc::gen::oneOf(
            rc::gen::element('{', '}', 't', 'o', 'x', '\n'), rc::gen::arbitrary<char>()));
        const auto result = parse_command_template(text);
        if (const auto* error = std::get_if<TemplateError>(&result))
            RC_ASSERT(error->column >= 1 && error->column <= text.size() + 1);
    });
    CHECK(held);
}
