#include "report/verdict.hpp"

#include <fmt/format.h>

#include <cmath>
#include <iterator>
#include <nlohmann/json.hpp>

#include "report/caution.hpp"
#include "version.hpp"

namespace durograde::report {
namespace {

using Json = nlohmann::ordered_json;

std::string place(const check::Spot& spot) {
    if (spot.input_line == 0 && spot.output_line == 0) return "";
    if (spot.input_line == 0) return fmt::format("line {} of the output: ", spot.output_line);
    if (spot.output_line == 0) return fmt::format("line {} of the input: ", spot.input_line);
    return fmt::format("line {} of the input, {} of the output: ", spot.input_line,
                       spot.output_line);
}

double finite(double value) {
    return std::isfinite(value) ? value : 0.0;
}

Json limit(const check::Finding& finding) {
    return finding.limit ? Json(finite(*finding.limit)) : Json(nullptr);
}

}  // namespace

std::string measure(const check::Finding& finding) {
    // As many digits as tell a worst value from the limit that it is beyond.
    constexpr int enough = 4, all = 17;
    std::string worst, limit;
    for (int digits = enough; digits <= all && worst == limit; ++digits) {
        worst = fmt::format("{:.{}g}", finding.worst, digits);
        if (finding.limit) limit = fmt::format("{:.{}g}", *finding.limit, digits);
        if (finding.worst == finding.limit) break;
    }
    if (!finding.limit) return fmt::format("worst {} {}", worst, finding.unit);
    return fmt::format("worst {} {}, limit {} {}", worst, finding.unit, limit, finding.unit);
}

std::string text(const check::Verdict& verdict) {
    std::string result;
    auto out = std::back_inserter(result);
    for (const check::Finding& finding : verdict.findings) {
        fmt::format_to(out, "{:<6} {:<30} {}\n", finding.held ? "held" : "FAILED", finding.name,
                       measure(finding));
        for (const check::Spot& spot : finding.first) {
            fmt::format_to(out, "        {}{}\n", place(spot), spot.text);
        }
        if (finding.failures > finding.first.size()) {
            fmt::format_to(out, "        and {} more\n", finding.failures - finding.first.size());
        }
    }
    result += verdict.held() ? "All checks hold.\n" : "Do not print this.\n";
    return result.append(short_caution).append("\n");
}

std::string json(const check::Verdict& verdict) {
    Json checks = Json::array();
    for (const check::Finding& finding : verdict.findings) {
        Json first = Json::array();
        for (const check::Spot& spot : finding.first) {
            first.push_back({{"input_line", spot.input_line},
                             {"output_line", spot.output_line},
                             {"text", spot.text}});
        }
        checks.push_back({{"name", finding.name},
                          {"held", finding.held},
                          {"worst", finite(finding.worst)},
                          {"limit", limit(finding)},
                          {"unit", finding.unit},
                          {"failures", finding.failures},
                          {"first", std::move(first)}});
    }
    const Json report = {{"format", 1},
                         {"program", "durograde " + std::string(version)},
                         {"held", verdict.held()},
                         {"checks", std::move(checks)}};
    return report.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace durograde::report
