#include <algorithm>
#include <cmath>
#include <numbers>

#include "arithmetic/phase.hpp"
#include "lampbeat/synth.hpp"

namespace lampbeat {

namespace {

constexpr double pi = std::numbers::pi;

/// The height of the ripple's foot, relative to its crest.
double pedestal(const RectifiedRipple& ripple) {
  const double depth = ripple.percent_flicker / 100.0;
  return (1.0 - depth) / (1.0 + depth);
}

/// Mean of p + (1 − p)·|sin|: the mean of a rectified sine is 2/π.
double ripple_mean(double foot) { return foot + (1.0 - foot) * 2.0 / pi; }

double ripple_at(const RectifiedRipple& ripple, double t_s) {
  const double foot = pedestal(ripple);
  const double rectified = std::abs(std::sin(2.0 * pi * ripple.mains_hz * t_s));
  return (foot + (1.0 - foot) * rectified) / ripple_mean(foot);
}

/// ∫ |sin(π x)| dx from 0 to x >= 0: each whole half-wave holds 2/π.
double rectified_area(double x) {
  const double whole = std::floor(x);
  return (2.0 * whole + 1.0 - std::cos(pi * (x - whole))) / pi;
}

double ripple_integral(const RectifiedRipple& ripple, double from_s, double to_s) {
  const double foot = pedestal(ripple);
  const double half_waves_per_s = 2.0 * ripple.mains_hz;
  // Counted from the half-wave the interval starts in, so that late times lose no digits.
  const double start = arithmetic::begun_turn(from_s * half_waves_per_s);
  const double length = (to_s - from_s) * half_waves_per_s;
  const double rectified =
      (rectified_area(start + length) - rectified_area(start)) / half_waves_per_s;
  return (foot * (to_s - from_s) + (1.0 - foot) * rectified) / ripple_mean(foot);
}

double sinc(double x) { return x == 0.0 ? 1.0 : std::sin(pi * x) / (pi * x); }

/// ∫ of the light before its dimmer.
double undimmed_integral(const LightRecipe& light, double from_s, double to_s) {
  const double length_s = to_s - from_s;
  const double middle_s = from_s + 0.5 * length_s;
  double relative = 1.0;
  for (const LightComponent& c : light.base.components) {
    relative +=
        c.amplitude * sinc(c.hz * length_s) * std::cos(2.0 * pi * c.hz * middle_s + c.phase_rad);
  }
  double integral = relative * length_s;
  if (light.ripple) integral += ripple_integral(*light.ripple, from_s, to_s) - length_s;
  return integral;
}

/// Whether a dimmer is on. Samples often fall on its edges to the last digit; shifting the question
/// by a billionth of a period makes the on part include its first instant and exclude its end
/// whichever way the product was rounded.
bool gate_open(const PwmDimmer& pwm, double t_s) {
  return arithmetic::begun_turn(t_s * pwm.hz + 1e-9) < pwm.duty;
}

}  // namespace

double LightRecipe::at(double t_s) const {
  double value = light_at(base, t_s);
  if (ripple) value += ripple_at(*ripple, t_s) - 1.0;
  if (pwm) value = gate_open(*pwm, t_s) ? value / pwm->duty : 0.0;
  return value;
}

double LightRecipe::mean_over(double from_s, double length_s) const {
  const double to_s = from_s + length_s;
  if (!pwm) return undimmed_integral(*this, from_s, to_s) / length_s;
  const double period_s = 1.0 / pwm->hz;
  double integral = 0.0;
  for (double period = std::floor(from_s * pwm->hz); period * period_s < to_s; period += 1.0) {
    const double on_s = std::max(from_s, period * period_s);
    const double off_s = std::min(to_s, (period + pwm->duty) * period_s);
    if (off_s > on_s) integral += undimmed_integral(*this, on_s, off_s);
  }
  return integral / pwm->duty / length_s;
}

double LightRecipe::highest_possible() const {
  double highest = 1.0;
  for (const LightComponent& c : base.components) highest += c.amplitude;
  if (ripple) highest += 1.0 / ripple_mean(pedestal(*ripple)) - 1.0;
  return pwm ? highest / pwm->duty : highest;
}

}  // namespace lampbeat
