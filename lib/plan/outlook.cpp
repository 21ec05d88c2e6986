#include <cmath>

#include "plan/sections.hpp"

namespace durograde::plan {
namespace {

constexpr Bounds cells{0.2, 5.0};
constexpr Bounds exponents{1.0, 2.0};  // of Gibson and Ashby's relation

std::optional<Vec3> read_direction(TableReader& table) {
    const std::vector<double> along = table.numbers("along", 3, any_number);
    if (along.empty()) return std::nullopt;
    const double length = std::hypot(along[0], along[1], along[2]);
    constexpr double least = 1e-6;
    if (length < least) {
        table.findings().error(
            "out-of-range", table.find("along")->spot, table.label("along") + " leads nowhere",
            "write a direction in the part's own coordinates: along = [1, 0, 0]");
        return std::nullopt;
    }
    return Vec3{along[0] / length, along[1] / length, along[2] / length};
}

}  // namespace

std::optional<Predict> read_predict(TableReader& plan, const Plan& read) {
    auto table = plan.inner("predict", "[predict]");
    if (!table) return std::nullopt;
    Predict predict;
    predict.along = read_direction(*table);
    predict.cell_mm = table->number("cell", predict.cell_mm, cells);
    const std::vector<double> exponent = table->numbers("exponent", 2, exponents);
    if (!exponent.empty()) predict.exponent = {exponent[0], exponent[1]};
    if (predict.exponent.low > predict.exponent.high)
        table->findings().error(
            "out-of-range", table->find("exponent")->spot,
            "`exponent` falls from " + shown(exponent[0]) + " to " + shown(exponent[1]),
            "write the lower one first: exponent = [1, 2]");
    table->finish();
    if (!read.material)
        table->findings().error("contradiction", table->table().spot,
                                "[predict] asks what parts come out as, and the plan has no "
                                "[material]",
                                "add [material] with points that have `density` and `hardness`");
    return predict;
}

std::optional<Cost> read_cost(TableReader& plan) {
    auto table = plan.inner("cost", "[cost]");
    if (!table) return std::nullopt;
    constexpr Bounds failure_shares{0.0, 0.99};
    Cost cost;
    cost.machine_per_hour = table->number("machine", 0.0, not_negative);
    cost.labour_per_sheet = table->number("labour", 0.0, not_negative);
    cost.failure_share = table->number("failures", 0.0, failure_shares);
    cost.parts_per_day = table->optional_number("parts_per_day", positive);
    table->finish();
    return cost;
}

}  // namespace durograde::plan
