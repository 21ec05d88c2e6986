#include "report/outcome.hpp"

#include <nlohmann/json.hpp>

#include "report/caution.hpp"
#include "report/json.hpp"
#include "version.hpp"

namespace durograde::report {
namespace {

using Json = nlohmann::ordered_json;

Json text_or_null(const std::string& text) {
    return text.empty() ? Json(nullptr) : Json(text);
}

Json errors(const std::vector<Diagnostic>& list) {
    Json errors = Json::array();
    for (const Diagnostic& error : list) {
        errors.push_back({{"code", error.code},
                          {"text", error.text},
                          {"mend", error.mend},
                          {"file", error.place.file},
                          {"line", error.place.line},
                          {"column", error.place.column}});
    }
    return errors;
}

}  // namespace

std::string json(const Outcome& outcome) {
    Json object;
    object["format"] = 1;
    object["program"] = "durograde " + std::string(version);
    object["job"] = outcome.job;
    object["output"] = text_or_null(outcome.output);
    object["exit"] = static_cast<int>(outcome.exit);
    object["already"] = outcome.already;
    object["original"] = text_or_null(outcome.original);
    object["report"] =
        outcome.figures ? Json::parse(json(*outcome.figures, outcome.verdict)) : Json(nullptr);
    object["errors"] = errors(outcome.errors);
    object["caution"] = std::string(short_caution);
    return object.dump(-1, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace durograde::report
