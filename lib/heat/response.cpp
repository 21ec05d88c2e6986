#include "heat/response.hpp"

#include <cmath>

namespace durograde::heat {
namespace {

/// One step of the closed form: T' = kept·T + (1 − kept)·ambient + gain·rise·u.
struct Step {
    double kept = 1.0;        ///< e^(−loss·dt)
    double gain_s = 0.0;      ///< (1 − kept) / loss
    double kept_slope = 0.0;  ///< change of `kept` per loss
    double gain_slope = 0.0;  ///< change of `gain_s` per loss
};

Step step_over(double loss_per_s, double seconds) {
    Step step;
    step.kept = std::exp(-loss_per_s * seconds);
    step.gain_s = -std::expm1(-loss_per_s * seconds) / loss_per_s;
    step.kept_slope = -seconds * step.kept;
    step.gain_slope = (seconds * step.kept - step.gain_s) / loss_per_s;
    return step;
}

/// The curve that begins at `begin_c`.
Eigen::VectorXd curve(const plan::Heater& heater, std::span<const HeaterSample> stretch,
                      double begin_c) {
    Eigen::VectorXd curve(static_cast<Eigen::Index>(stretch.size()));
    curve[0] = begin_c;
    for (std::size_t i = 0; i + 1 < stretch.size(); ++i) {
        const Step step = step_over(heater.loss_per_s, stretch[i + 1].time_s - stretch[i].time_s);
        const auto at = static_cast<Eigen::Index>(i);
        curve[at + 1] = step.kept * curve[at] + (1 - step.kept) * heater.ambient_c +
                        step.gain_s * heater.rise_k_s * stretch[i].duty;
    }
    return curve;
}

/// The slopes of a curve whose begin is held.
Eigen::MatrixX3d slopes_of(const plan::Heater& heater, std::span<const HeaterSample> stretch,
                           const Eigen::VectorXd& curve) {
    Eigen::MatrixX3d slopes = Eigen::MatrixX3d::Zero(curve.size(), 3);
    for (std::size_t i = 0; i + 1 < stretch.size(); ++i) {
        const Step step = step_over(heater.loss_per_s, stretch[i + 1].time_s - stretch[i].time_s);
        const auto at = static_cast<Eigen::Index>(i);
        const double push = stretch[i].duty;
        const Eigen::RowVector3d added(step.gain_s * push,
                                       step.kept_slope * (curve[at] - heater.ambient_c) +
                                           step.gain_slope * heater.rise_k_s * push,
                                       1 - step.kept);
        slopes.row(at + 1) = step.kept * slopes.row(at) + added;
    }
    return slopes;
}

}  // namespace

Response respond(const plan::Heater& heater, std::span<const HeaterSample> stretch) {
    Eigen::VectorXd measured(static_cast<Eigen::Index>(stretch.size()));
    Eigen::VectorXd share(measured.size());  // of the begin in each temperature
    for (std::size_t i = 0; i < stretch.size(); ++i) {
        const auto at = static_cast<Eigen::Index>(i);
        measured[at] = stretch[i].temperature_c;
        share[at] = std::exp(-heater.loss_per_s * (stretch[i].time_s - stretch[0].time_s));
    }
    const double weight = share.squaredNorm();
    const double first_c = measured[0];
    const double off_k = share.dot(measured - curve(heater, stretch, first_c)) / weight;
    const Eigen::VectorXd best = curve(heater, stretch, first_c + off_k);
    Response response{measured - best, slopes_of(heater, stretch, best)};
    response.slopes -= share * (share.transpose() * response.slopes) / weight;
    return response;
}

}  // namespace durograde::heat
