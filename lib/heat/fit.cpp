#include "heat/fit.hpp"

#include <Eigen/QR>
#include <Eigen/SVD>
#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include "heat/coverage.hpp"
#include "heat/response.hpp"
#include "text/diagnostic.hpp"
#include "text/number.hpp"

namespace durograde::heat {
namespace {

using Eigen::Index;

Failure refuse(const HeaterLog& log, const char* code, std::string text, std::string mend) {
    return {Exit::bad_input, Diagnostic{.code = code,
                                        .text = std::move(text),
                                        .mend = std::move(mend),
                                        .place = {log.name, 0, 0}}};
}

std::string shown(double value, int decimals) {
    if (!(std::abs(value) < 1e6)) return "more than a million";
    std::string text;
    append_trimmed(text, value, decimals);
    return text;
}

// --- the first guess -----------------------------------------------------------------------------

/// Rows of the integrated equation over one stretch, cut into windows of about `window_s`.
void add_windows(Stretch stretch, double window_s, std::vector<Eigen::Vector4d>& rows) {
    Eigen::Vector4d row = Eigen::Vector4d::Zero();  // ∫u dt, ∫T dt, dt, difference of T
    for (std::size_t i = 0; i + 1 < stretch.size(); ++i) {
        const double step_s = stretch[i + 1].time_s - stretch[i].time_s;
        const double middle_c = (stretch[i].temperature_c + stretch[i + 1].temperature_c) / 2;
        row += Eigen::Vector4d(stretch[i].duty * step_s, middle_c * step_s, step_s,
                               stretch[i + 1].temperature_c - stretch[i].temperature_c);
        if (row[2] < window_s && i + 2 < stretch.size()) continue;
        rows.push_back(row);
        row.setZero();
    }
}

plan::Heater first_guess(const HeaterLog& log, const Coverage& covers) {
    constexpr double windows = 30;  // of a length that averages noise and still follows the curve
    std::vector<Eigen::Vector4d> rows;
    for (const Stretch stretch : covers.stretches) {
        add_windows(stretch, covers.seconds / windows, rows);
    }
    Eigen::MatrixX3d known(static_cast<Index>(rows.size()), 3);
    Eigen::VectorXd change(known.rows());
    for (Index i = 0; i < known.rows(); ++i) {
        const Eigen::Vector4d& row = rows[static_cast<std::size_t>(i)];
        // Counted from the measured ambient, the third unknown is only what was measured wrong.
        const double from_c = log.ambient_c.value_or(0.0);
        known.row(i) << row[0], -(row[1] - from_c * row[2]), log.ambient_c ? 0.0 : row[2];
        change[i] = row[3];
    }
    const Eigen::Vector3d found = known.completeOrthogonalDecomposition().solve(change);
    const double loss = std::max(found[1], 1e-5);  // the refinement needs one above 0
    return {found[0], loss, log.ambient_c.value_or(found[2] / loss)};
}

// --- the refinement ------------------------------------------------------------------------------

/// Misses and slopes of all stretches. A measured ambient has no slope.
Response respond_to_all(const plan::Heater& heater, const Coverage& covers) {
    const auto rows = static_cast<Index>(covers.rows);
    Response all{Eigen::VectorXd(rows), Eigen::MatrixX3d(rows, 3)};
    Index at = 0;
    for (const Stretch stretch : covers.stretches) {
        const Response one = respond(heater, stretch);
        all.missing_k.segment(at, one.missing_k.size()) = one.missing_k;
        all.slopes.middleRows(at, one.missing_k.size()) = one.slopes;
        at += one.missing_k.size();
    }
    return all;
}

plan::Heater moved(const plan::Heater& heater, const Eigen::VectorXd& step, double share) {
    return {heater.rise_k_s + share * step[0], heater.loss_per_s + share * step[1],
            step.size() > 2 ? heater.ambient_c + share * step[2] : heater.ambient_c};
}

struct Refined {
    plan::Heater heater;
    Response response;
};

/// Gauss-Newton; a step that does not bring the curve nearer is halved until it does.
Refined refine(const plan::Heater& guess, const Coverage& covers, Index unknowns) {
    constexpr int most_steps = 50, most_halvings = 40;
    Refined best{guess, respond_to_all(guess, covers)};
    for (int i = 0; i < most_steps; ++i) {
        const Eigen::VectorXd step =
            best.response.slopes.leftCols(unknowns).colPivHouseholderQr().solve(
                best.response.missing_k);
        const double before = best.response.missing_k.squaredNorm();
        bool nearer = false;
        double share = 1.0;
        for (int halvings = 0; halvings < most_halvings && !nearer; ++halvings, share /= 2) {
            const plan::Heater next = moved(best.heater, step, share);
            if (!(next.loss_per_s > 0) || !std::isfinite(next.ambient_c)) continue;
            Response response = respond_to_all(next, covers);
            nearer = response.missing_k.squaredNorm() < before;
            if (nearer) best = {next, std::move(response)};
        }
        if (!nearer) break;
    }
    return best;
}

// --- how good it is ------------------------------------------------------------------------------

/// Correlation of each miss with the next one in its stretch, 0 where it is none or negative.
double leaning(const Eigen::VectorXd& missing_k, const std::vector<Stretch>& stretches) {
    double together = 0.0;
    Index at = 0;
    for (const Stretch stretch : stretches) {
        const auto count = static_cast<Index>(stretch.size());
        together += missing_k.segment(at, count - 1).dot(missing_k.segment(at + 1, count - 1));
        at += count;
    }
    const double all = missing_k.squaredNorm();
    return all > 0 ? std::clamp(together / all, 0.0, 0.99) : 0.0;
}

/// Sum of the squared distances of all temperatures from their mean.
double variation(const Coverage& covers) {
    double sum = 0.0, squares = 0.0;
    for (const Stretch stretch : covers.stretches) {
        for (const HeaterSample& sample : stretch) sum += sample.temperature_c;
    }
    const double mean = sum / static_cast<double>(covers.rows);
    for (const Stretch stretch : covers.stretches) {
        for (const HeaterSample& sample : stretch) {
            squares += (sample.temperature_c - mean) * (sample.temperature_c - mean);
        }
    }
    return squares;
}

/// Standard errors and condition into `fit`, from the slopes at the solution.
void judge(const Refined& refined, const Coverage& covers, Index unknowns, HeaterFit& fit) {
    const Eigen::MatrixXd slopes = refined.response.slopes.leftCols(unknowns);
    const Eigen::VectorXd lengths =
        slopes.colwise().norm().cwiseMax(std::numeric_limits<double>::min()).transpose();
    const Eigen::MatrixXd scaled = slopes * lengths.cwiseInverse().asDiagonal();
    const Eigen::JacobiSVD<Eigen::MatrixXd> parts(scaled,
                                                  Eigen::ComputeThinU | Eigen::ComputeThinV);
    const Eigen::VectorXd& strengths = parts.singularValues();
    fit.condition = strengths[0] / strengths[unknowns - 1];
    const double free_rows = static_cast<double>(fit.rows) - static_cast<double>(unknowns) -
                             static_cast<double>(covers.stretches.size());
    const double lean = leaning(refined.response.missing_k, covers.stretches);
    const double sigma_k =
        std::sqrt(refined.response.missing_k.squaredNorm() / free_rows * (1 + lean) / (1 - lean));
    // The inverse of the normal equations' matrix is V·S⁻²·Vᵀ.
    const Eigen::MatrixXd spread = parts.matrixV() * strengths.cwiseInverse().asDiagonal();
    const Eigen::VectorXd errors = sigma_k * spread.rowwise().norm().cwiseQuotient(lengths);
    fit.rise_k_s.error = errors[0];
    fit.loss_per_s.error = errors[1];
    if (unknowns > 2) fit.ambient_c.error = errors[2];
}

std::string percent(const Estimate& estimate) {
    return shown(100 * estimate.error / estimate.value, 1) + " %";
}

void check_fit(const HeaterLog& log, const HeaterFit& fit) {
    if (!(fit.rise_k_s.value > 0)) {
        throw refuse(log, "no-heating", "the temperature does not rise with the heater on",
                     "check that duty and temperature are those of one tool");
    }
    const double range_k = fit.highest_c - fit.lowest_c;
    if (!(fit.rms_k <= needed::rms_share * range_k)) {
        throw refuse(log, "no-such-heater",
                     "the model misses the log by " + shown(fit.rms_k, 1) + " K on average, over " +
                         shown(needed::rms_share * 100, 0) + " % of its range",
                     "check units and columns, and log with one fan setting, without printing");
    }
    // Written so that a value that is no number is refused.
    const bool is_determined =
        fit.rise_k_s.error <= needed::relative_error * fit.rise_k_s.value &&
        fit.loss_per_s.error <= needed::relative_error * fit.loss_per_s.value &&
        (fit.ambient_given || fit.ambient_c.error <= needed::ambient_error_k) &&
        fit.condition <= needed::condition;
    if (!is_determined) {
        throw refuse(
            log, "not-determined",
            "the log does not tell rise, loss and ambient apart: standard errors are " +
                percent(fit.rise_k_s) + ", " + percent(fit.loss_per_s) + " and " +
                shown(fit.ambient_c.error, 1) + " K (at most " +
                shown(100 * needed::relative_error, 0) + " %, " +
                shown(100 * needed::relative_error, 0) + " % and " +
                shown(needed::ambient_error_k, 0) + " K), the condition number is " +
                shown(fit.condition, 0) + " (at most " + shown(needed::condition, 0) + ")",
            "log a longer run, that cools further down; or measure the ambient temperature and "
            "give it as a column");
    }
    if (fit.ambient_c.value < -50 || fit.ambient_c.value > 150) {
        throw refuse(log, "no-such-heater",
                     "the ambient temperature comes out at " + shown(fit.ambient_c.value, 1) +
                         " °C, which no plan may hold (-50 to 150)",
                     "check the temperature's unit, and log without a fan that comes and goes");
    }
}

}  // namespace

HeaterFit fit_heater(const HeaterLog& log) {
    const Coverage covers = cover(log);
    const Index unknowns = log.ambient_c ? 2 : 3;
    const Refined refined = refine(first_guess(log, covers), covers, unknowns);
    HeaterFit fit;
    fit.rise_k_s.value = refined.heater.rise_k_s;
    fit.loss_per_s.value = refined.heater.loss_per_s;
    fit.ambient_c = {refined.heater.ambient_c, log.ambient_spread_k};
    fit.ambient_given = log.ambient_c.has_value();
    fit.rows = covers.rows;
    fit.stretches = covers.stretches.size();
    fit.seconds = covers.seconds;
    fit.lowest_c = covers.coldest_c;
    fit.highest_c = covers.hottest_c;
    const double missed = refined.response.missing_k.squaredNorm();
    fit.rms_k = std::sqrt(missed / static_cast<double>(covers.rows));
    fit.r_squared = 1 - missed / variation(covers);
    judge(refined, covers, unknowns, fit);
    check_fit(log, fit);
    return fit;
}

std::string toml(const HeaterFit& fit) {
    std::string text = "heater = { rise = ";
    append_trimmed(text, fit.rise_k_s.value, 4);
    append_trimmed(text += ", loss = ", fit.loss_per_s.value, 6);
    append_trimmed(text += ", ambient = ", fit.ambient_c.value, 1);
    return text + " }\n";
}

}  // namespace durograde::heat
