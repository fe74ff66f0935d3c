#include "reasoning/bands/vision_models.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "lampbeat/visibility.hpp"

namespace lampbeat::reasoning::bands {
namespace {

using std::numbers::pi;

double castle_luminance(double luminance_cd_m2) {
  return std::clamp(luminance_cd_m2, 0.001, 10000.0);
}

double sustained_gain(double luminance) {
  return 56.4947 * std::pow(1.0 + 7.54726 / luminance, -0.144532) *
         -std::expm1(-9.66862e9 * std::log1p(5.58341e-7 / luminance));
}

double sustained_peak(double luminance) {
  return 1.78119 * std::pow(1.0 + 91.5718 / luminance, -0.256682);
}

double transient_gain(double luminance) { return 2748.09 * std::pow(luminance, 0.193434); }

// Powers of a frequency as exponentials of its logarithm, which both channels share; that of 0 Hz
// is −∞, and its powers are 0.

double sustained_response(double log_hz) { return std::exp(-std::exp(1.3314 * log_hz) / 10.5795); }

double transient_best_hz(double luminance) {
  return std::max(0.0, 2.41482 * std::log10(luminance) + 4.7036);
}

/// A measured sensitivity over the area of the pattern.
struct Measured {
  double area_deg2, sensitivity;
};
constexpr double coarse_cpd = 0.125;
constexpr double fine_cpd = 0.5;
constexpr std::array<Measured, 3> coarse_gratings = {
    {{61.2, 138.95}, {247.4, 167.99}, {963.0, 219.11}}};
constexpr std::array<Measured, 3> fine_gratings = {
    {{16.0, 117.98}, {255.0, 385.16}, {981.0, 466.13}}};

/// In logarithms between the areas measured, held beyond them.
double interpolated(const std::array<Measured, 3>& points, double area_deg2) {
  const double area = std::clamp(area_deg2, points.front().area_deg2, points.back().area_deg2);
  const std::size_t i = area < points[1].area_deg2 ? 0 : 1;
  const Measured& low = points[i];
  const Measured& high = points[i + 1];
  const double part = std::log(area / low.area_deg2) / std::log(high.area_deg2 / low.area_deg2);
  return low.sensitivity * std::pow(high.sensitivity / low.sensitivity, part);
}

}  // namespace

CastleModel::Channel::Channel(const Shape& shape, double area_deg2)
    : shape_(shape),
      area_deg2_(area_deg2),
      log_peak_(std::log(shape.peak_cpd)),
      width_(std::numbers::ln10 * std::exp2(shape.breadth)) {}

double CastleModel::Channel::sensitivity(double cpd, double log_cpd) const {
  const double off = log_cpd - log_peak_;
  double height = std::exp(-off * off / width_);  // 10^(−decades² / 2^breadth)
  if (cpd < shape_.peak_cpd) height = std::max(height, 1.0 - shape_.droop);
  const double corners = cpd / shape_.corner_cpd;
  const double critical = shape_.area_deg2 / (1.0 + corners * corners);
  return shape_.gain * height * cpd * std::sqrt(critical / (1.0 + critical / area_deg2_));
}

/// Over the spatial frequency u, √(critical area) ≤ √area · min(1, corner / u) whatever the
/// summation, and height · u peaks where the parabola falls as fast as u rises, or at the end of
/// the plateau.
double CastleModel::Channel::bound() const {
  const double steepest_cpd = std::exp(log_peak_ + 0.25 * width_);
  const double height_cpd = std::max(shape_.peak_cpd, steepest_cpd);
  return shape_.gain * std::sqrt(shape_.area_deg2) * std::min(shape_.corner_cpd, height_cpd);
}

CastleModel::CastleModel(double luminance_cd_m2, double area_deg2)
    : sustained_({sustained_gain(castle_luminance(luminance_cd_m2)),
                  sustained_peak(castle_luminance(luminance_cd_m2)), 0.000213047, 0.100207, 157.103,
                  0.702338},
                 area_deg2),
      transient_({transient_gain(castle_luminance(luminance_cd_m2)), 0.000316696, 2.6761,
                  0.000241177, 3.81611, 3.01389},
                 area_deg2),
      best_hz_power_(std::pow(transient_best_hz(castle_luminance(luminance_cd_m2)), 0.1898)) {}

double CastleModel::transient_response(double log_hz) const {
  const double off = std::exp(0.1898 * log_hz) - best_hz_power_;
  return std::exp(-off * off / 0.0844836);
}

double CastleModel::sensitivity(double cycles_per_degree, double hz) const {
  const double cpd = std::clamp(cycles_per_degree, coarsest_cycles_per_degree, 64.0);
  const double log_cpd = std::log(cpd);
  const double log_hz = std::log(hz);
  return sustained_response(log_hz) * sustained_.sensitivity(cpd, log_cpd) +
         transient_response(log_hz) * transient_.sensitivity(cpd, log_cpd);
}

BartenModel::BartenModel(double luminance_cd_m2, double field_deg) {
  const double area = field_deg * field_deg;
  const double pupil_mm = 5.0 - 3.0 * std::tanh(0.4 * std::log10(luminance_cd_m2 * area / 1600.0));
  const double squeeze = std::pow(pupil_mm / 9.7, 2);
  const double troland = pi * pupil_mm * pupil_mm / 4.0 * luminance_cd_m2 *
                         (1.0 - squeeze + std::pow(pupil_mm / 12.4, 4));
  const double sigma_deg = std::hypot(0.5, 0.08 * pupil_mm) / 60.0;
  const double disc_deg = std::sqrt(4.0 * area / pi);
  blur_ = -2.0 * pi * pi * sigma_deg * sigma_deg;
  inverse_area_ = 1.0 / area + 1.0 / 144.0;
  tau1_s_ = 0.032 / (1.0 + 0.55 * std::log(1.0 + std::pow(1.0 + disc_deg, 0.6) * troland / 3.5));
  tau2_s_ =
      0.018 / (1.0 + 0.37 * std::log(1.0 + std::pow(1.0 + disc_deg / 3.2, 5) * troland / 120.0));
  photon_noise_ = 1.0 / (0.03 * 1.24e6 * troland);
}

double BartenModel::sensitivity(double cycles_per_degree, double hz) const {
  const double u = cycles_per_degree;
  const double optics = std::exp(blur_ * u * u);
  const double extent = 1.0 / (inverse_area_ + u * u / 225.0);  // X · Y
  const double slow1 = 1.0 + (2.0 * pi * hz * tau1_s_) * (2.0 * pi * hz * tau1_s_);
  const double slow2 = 1.0 + (2.0 * pi * hz * tau2_s_) * (2.0 * pi * hz * tau2_s_);
  const double h1 = 1.0 / (slow1 * slow1 * slow1 * std::sqrt(slow1));  // to the power of −3.5
  const double h2 = 1.0 / (slow2 * slow2);
  const double surround = 1.0 - std::sqrt(-std::expm1(-u * u / 49.0));
  const double inhibition = h1 * (1.0 - h2 * surround);
  const double noise = photon_noise_ + 3e-8 / (inhibition * inhibition);
  return optics / 3.0 * std::sqrt(extent * 0.1 / (2.0 * noise));
}

/// Cell by cell over the temporal frequency, each factor at its best in the cell: optics leaves no
/// more than all, (1 + x)^−3.5 is below (1 + x)^−3, and 1 − √(1 − e^(−u²/49)) above 1 − u/7.
double BartenModel::bound(double from_cpd, double to_cpd) const {
  constexpr double first_hz = 0.5;
  constexpr double ratio = 1.2;
  constexpr double last_hz = 60.0;  // from here on inhibition is left as if it were none
  const double surround = std::max(0.0, 1.0 - to_cpd / 7.0);
  const auto slowed = [](double hz, double tau_s) {
    return 1.0 + (2.0 * pi * hz * tau_s) * (2.0 * pi * hz * tau_s);
  };
  double most = 0.0;
  double low_hz = 0.0;
  for (double high_hz = first_hz; low_hz < last_hz; low_hz = high_hz, high_hz *= ratio) {
    const double h1 = std::pow(slowed(low_hz, tau1_s_), -3);
    const double h2 = high_hz < last_hz ? std::pow(slowed(high_hz, tau2_s_), -2) : 0.0;
    most = std::max(most, h1 * (1.0 - h2 * surround));
  }
  const double extent = 1.0 / (inverse_area_ + from_cpd * from_cpd / 225.0);
  return std::sqrt(extent * 0.1 / (2.0 * (photon_noise_ + 3e-8 / (most * most)))) / 3.0;
}

StandingGratings::StandingGratings(double area_deg2)
    : coarse_(interpolated(coarse_gratings, area_deg2)),
      fine_(interpolated(fine_gratings, area_deg2)) {}

double StandingGratings::sensitivity(double cycles_per_degree, double hz) const {
  // Measured was what stands. A quarter of a cycle a second still counts as standing, from half of
  // one on the models have their say alone, and in between one passes into the other (a choice).
  constexpr double standing_hz = 0.25;
  constexpr double moving_hz = 0.5;
  if (cycles_per_degree > fine_cpd || hz >= moving_hz) return 0.0;
  const double part = std::log(cycles_per_degree / coarse_cpd) / std::log(fine_cpd / coarse_cpd);
  const double standing = std::clamp((moving_hz - hz) / (moving_hz - standing_hz), 0.0, 1.0);
  return coarse_ * std::pow(fine_ / coarse_, part) * standing;
}

/// It rises or falls all the way from the coarsest pattern to the finer of the two measured.
double StandingGratings::bound() const {
  return std::max(sensitivity(coarsest_cycles_per_degree, 0.0), fine_);
}

}  // namespace lampbeat::reasoning::bands
