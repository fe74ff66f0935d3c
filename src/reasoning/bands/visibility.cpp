#include "lampbeat/visibility.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include <fmt/format.h>

#include "lampbeat/error.hpp"

namespace lampbeat {
namespace {

using std::numbers::pi;

/// One of castleCSF's two channels: a log parabola over spatial frequency, flat below its peak,
/// with spatial summation over the area.
struct Channel {
  double gain, peak_cpd, breadth, droop, area_deg2, corner_cpd;

  double sensitivity(double cpd, double area) const {
    const double decades = std::log10(cpd) - std::log10(peak_cpd);
    double shape = std::pow(10.0, -decades * decades / std::exp2(breadth));
    if (cpd < peak_cpd) shape = std::max(shape, 1.0 - droop);
    const double critical = area_deg2 / (1.0 + (cpd / corner_cpd) * (cpd / corner_cpd));
    return gain * shape * cpd * std::sqrt(critical / (1.0 + critical / area));
  }
};

Channel sustained_channel(double luminance) {
  const double gain = 56.4947 * std::pow(1.0 + 7.54726 / luminance, -0.144532) *
                      -std::expm1(-9.66862e9 * std::log1p(5.58341e-7 / luminance));
  const double peak = 1.78119 * std::pow(1.0 + 91.5718 / luminance, -0.256682);
  return {gain, peak, 0.000213047, 0.100207, 157.103, 0.702338};
}

Channel transient_channel(double luminance) {
  const double gain = 2748.09 * std::pow(luminance, 0.193434);
  return {gain, 0.000316696, 2.6761, 0.000241177, 3.81611, 3.01389};
}

double sustained_response(double hz) { return std::exp(-std::pow(hz, 1.3314) / 10.5795); }

/// A measured sensitivity over the area of the pattern.
struct Measured {
  double area_deg2, sensitivity;
};
constexpr std::array<Measured, 3> gratings_of_an_eighth = {
    {{61.2, 138.95}, {247.4, 167.99}, {963.0, 219.11}}};
constexpr std::array<Measured, 3> gratings_of_a_half = {
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

double transient_response(double hz, double luminance) {
  const double best_hz = std::max(0.0, 2.41482 * std::log10(luminance) + 4.7036);
  const double off = std::pow(hz, 0.1898) - std::pow(best_hz, 0.1898);
  return std::exp(-off * off / 0.0844836);
}

}  // namespace

double contrast_sensitivity(double cycles_per_degree, double hz, double luminance_cd_m2,
                            double area_deg2) {
  const double cpd = std::clamp(cycles_per_degree, coarsest_cycles_per_degree, 64.0);
  const double luminance = std::clamp(luminance_cd_m2, 0.001, 10000.0);
  return sustained_response(hz) * sustained_channel(luminance).sensitivity(cpd, area_deg2) +
         transient_response(hz, luminance) *
             transient_channel(luminance).sensitivity(cpd, area_deg2);
}

double barten_sensitivity(double cycles_per_degree, double hz, double luminance_cd_m2,
                          double field_deg) {
  const double u = cycles_per_degree;
  const double area = field_deg * field_deg;
  const double pupil_mm = 5.0 - 3.0 * std::tanh(0.4 * std::log10(luminance_cd_m2 * area / 1600.0));
  const double squeeze = std::pow(pupil_mm / 9.7, 2);
  const double troland = pi * pupil_mm * pupil_mm / 4.0 * luminance_cd_m2 *
                         (1.0 - squeeze + std::pow(pupil_mm / 12.4, 4));
  const double sigma_deg = std::hypot(0.5, 0.08 * pupil_mm) / 60.0;
  const double optics = std::exp(-2.0 * pi * pi * sigma_deg * sigma_deg * u * u);
  const double extent = 1.0 / (1.0 / area + 1.0 / 144.0 + u * u / 225.0);  // X · Y
  const double disc_deg = std::sqrt(4.0 * area / pi);
  const double tau1 =
      0.032 / (1.0 + 0.55 * std::log(1.0 + std::pow(1.0 + disc_deg, 0.6) * troland / 3.5));
  const double tau2 =
      0.018 / (1.0 + 0.37 * std::log(1.0 + std::pow(1.0 + disc_deg / 3.2, 5) * troland / 120.0));
  const double h1 = std::pow(1.0 + std::pow(2.0 * pi * hz * tau1, 2), -3.5);
  const double h2 = std::pow(1.0 + std::pow(2.0 * pi * hz * tau2, 2), -2.0);
  const double surround = 1.0 - std::sqrt(-std::expm1(-u * u / 49.0));
  const double inhibition = h1 * (1.0 - h2 * surround);
  const double noise = 1.0 / (0.03 * 1.24e6 * troland) + 3e-8 / (inhibition * inhibition);
  return optics / 3.0 * std::sqrt(extent * 0.1 / (2.0 * noise));
}

PictureAngle picture_angle(double distance_heights) {
  const auto degrees = [&](double size) {
    return 2.0 * std::atan(size / (2.0 * distance_heights)) * 180.0 / pi;
  };
  const double height = degrees(1.0);
  return {height, height * degrees(16.0 / 9.0)};
}

double slowing(double fps, const Viewing& viewing) {
  if (viewing.playback_fps && fps > 0.0) return *viewing.playback_fps / fps;
  return fps > fastest_screen_fps ? slow_motion_fps / fps : 1.0;
}

double measured_standing_sensitivity(double cycles_per_degree, double hz, double area_deg2) {
  constexpr double coarse_cpd = 0.125;  // of the two gratings measured
  constexpr double fine_cpd = 0.5;
  // Measured was what stands. A quarter of a cycle a second still counts as standing, from half of
  // one on the models have their say alone, and in between one passes into the other (a choice).
  constexpr double standing_hz = 0.25;
  constexpr double moving_hz = 0.5;
  if (cycles_per_degree > fine_cpd || hz >= moving_hz) return 0.0;
  const double coarse = interpolated(gratings_of_an_eighth, area_deg2);
  const double fine = interpolated(gratings_of_a_half, area_deg2);
  const double part = std::log(cycles_per_degree / coarse_cpd) / std::log(fine_cpd / coarse_cpd);
  const double standing = std::clamp((moving_hz - hz) / (moving_hz - standing_hz), 0.0, 1.0);
  return coarse * std::pow(fine / coarse, part) * standing;
}

Visibility band_visibility(double contrast, double bands, double roll_hz, const Viewing& viewing) {
  const PictureAngle picture = picture_angle(viewing.distance_heights);
  // Less than the coarsest pattern any model covers is judged as that one.
  const double cpd = std::max(bands / picture.height_deg, coarsest_cycles_per_degree);
  const double hz = std::abs(roll_hz);
  const double castle = contrast_sensitivity(cpd, hz, viewing.screen_cd_m2, picture.area_deg2);
  const double barten =
      barten_sensitivity(cpd, hz, viewing.screen_cd_m2, std::sqrt(picture.area_deg2));
  const double measured = measured_standing_sensitivity(cpd, hz, picture.area_deg2);
  const double shown = system_gamma * contrast;
  return {shown * std::max({castle, barten, measured}), shown * std::min(castle, barten)};
}

Visibility pulse_visibility(double contrast, double hz, const Viewing& viewing) {
  // Slower pulsing is seen against the edge of the picture, of which the full-field limit knows
  // nothing.
  constexpr double full_field_from_hz = 4.0;
  const PictureAngle picture = picture_angle(viewing.distance_heights);
  const double castle = contrast_sensitivity(coarsest_cycles_per_degree, std::abs(hz),
                                             viewing.screen_cd_m2, picture.area_deg2);
  const double barten = std::abs(hz) < full_field_from_hz
                            ? castle
                            : barten_sensitivity(0.0, std::abs(hz), viewing.screen_cd_m2,
                                                 std::sqrt(picture.area_deg2));
  const double shown = system_gamma * contrast;
  return {shown * std::max(castle, barten), shown * std::min(castle, barten)};
}

double recording_step(int bits) {
  if (bits != 8 && bits != 10) {
    throw UsageError(fmt::format("a recording has 8 or 10 bits here, not {}", bits));
  }
  const double codes = bits == 8 ? 219.0 : 876.0;  // ITU-R BT.709, narrow range: 16 ... 235, × 4
  const double slope_at_white = 0.45 * 1.099;      // ITU-R BT.709: V = 1.099 L^0.45 − 0.099
  return 1.0 / codes / slope_at_white;
}

double hidden_by_noise(double noise_percent, double fps) {
  constexpr double pixels_of_a_row = 1920.0;
  constexpr double collected_s = 2.0;
  return noise_percent / 100.0 / std::sqrt(pixels_of_a_row * std::max(1.0, collected_s * fps));
}

Verdict verdict_of(const Visibility& visibility) {
  const Verdict most = verdict_of(visibility.most_sensitive);
  return verdict_of(visibility.least_sensitive) == Verdict::clean
             ? std::min(most, Verdict::borderline)
             : most;
}

Verdict verdict_of(double visibility) {
  if (visibility < clean_below) return Verdict::clean;
  if (visibility < visible_from) return Verdict::borderline;
  if (visibility < strong_from) return Verdict::visible;
  return Verdict::strong;
}

double deeper_percent(const Recorded& r) { return std::max(r.band_percent, r.pulse_percent); }

bool pulses_more_than_bands(const Recorded& r) { return r.pulse_visibility > r.band_visibility; }

const char* verdict_word(Verdict verdict) {
  switch (verdict) {
    case Verdict::clean:
      return "clean";
    case Verdict::borderline:
      return "borderline";
    case Verdict::visible:
      return "visible";
    case Verdict::strong:
      return "strong";
  }
  return "strong";
}

bool flashes_hazardously(double screen_contrast, double hz, double screen_cd_m2) {
  if (!(hz > 3.0)) return false;
  const double darker = screen_cd_m2 * (1.0 - screen_contrast);
  if (darker >= 160.0) return screen_contrast >= 1.0 / 17.0;
  return 2.0 * screen_contrast * screen_cd_m2 >= 20.0;
}

}  // namespace lampbeat
