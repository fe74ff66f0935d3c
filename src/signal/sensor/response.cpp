#include "signal/sensor/response.hpp"

#include <cmath>
#include <complex>

#include "arithmetic/phase.hpp"

namespace lampbeat::signal::sensor {
namespace {

double step_s(const Window& window, std::size_t i) {
  return window.even() ? window.interval_s : window.time_s[i] - window.time_s[i - 1];
}

/// In place. The first sample has none before it and repeats the second.
void undo_low_pass(std::vector<double>& value, const Window& window, double corner_hz) {
  const double rate = arithmetic::turn * corner_hz;
  double before = value.front();
  for (std::size_t i = 1; i < value.size(); ++i) {
    const double now = value[i];
    const double gained = -std::expm1(-rate * step_s(window, i));
    if (gained > 0.0) value[i] = before + (now - before) / gained;
    before = now;
  }
  if (value.size() > 1) value.front() = value[1];
}

/// Takes the least-squares line through (time, value) out.
void level_out(std::vector<double>& value, const Window& window) {
  const auto n = static_cast<double>(value.size());
  double mean = 0.0;
  double middle_s = 0.0;
  for (std::size_t i = 0; i < value.size(); ++i) {
    mean += value[i] / n;
    middle_s += window.time_at(i) / n;
  }
  double moment = 0.0;
  double squares = 0.0;
  for (std::size_t i = 0; i < value.size(); ++i) {
    const double t = window.time_at(i) - middle_s;
    moment += t * (value[i] - mean);
    squares += t * t;
  }
  const double slope = squares > 0.0 ? moment / squares : 0.0;
  for (std::size_t i = 0; i < value.size(); ++i) {
    value[i] -= mean + slope * (window.time_at(i) - middle_s);
  }
}

void undo_high_pass(std::vector<double>& value, const Window& window, double corner_hz) {
  const double rate = arithmetic::turn * corner_hz;
  std::vector<double> lost(value.size());
  for (std::size_t i = 1; i < value.size(); ++i) {
    lost[i] = lost[i - 1] + rate * step_s(window, i) * (value[i] + value[i - 1]) / 2.0;
  }
  level_out(lost, window);
  for (std::size_t i = 0; i < value.size(); ++i) value[i] += lost[i];
}

}  // namespace

double Response::gain(double hz, double interval_s) const {
  double gain = 1.0;
  const double angle = arithmetic::turn * hz * interval_s;
  if (low_pass_hz) {
    const double kept = std::exp(-arithmetic::turn * *low_pass_hz * interval_s);
    gain *= (1.0 - kept) / std::abs(1.0 - std::polar(kept, -angle));
  }
  if (high_pass_hz) {
    const double decay = arithmetic::turn * *high_pass_hz * interval_s;
    gain /= std::hypot(1.0, decay / (2.0 * std::tan(angle / 2.0)));
  }
  return gain;
}

std::vector<double> undone(const Window& recorded, const Response& response) {
  std::vector<double> light(recorded.value.begin(), recorded.value.end());
  if (light.empty()) return light;
  if (response.high_pass_hz) undo_high_pass(light, recorded, *response.high_pass_hz);
  if (response.low_pass_hz) undo_low_pass(light, recorded, *response.low_pass_hz);
  return light;
}

double lag_s(const Response& response, double interval_s) {
  if (!response.low_pass_hz) return 0.0;
  // The newest light weighs most, e^(−age/τ).
  const double time_constant_s = 1.0 / (arithmetic::turn * *response.low_pass_hz);
  return time_constant_s - interval_s / std::expm1(interval_s / time_constant_s);
}

}  // namespace lampbeat::signal::sensor
