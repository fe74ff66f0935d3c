#include "signal/lines/thinned_fit.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "arithmetic/lanes.hpp"
#include "arithmetic/phase.hpp"
#include "signal/lines/fit_clock.hpp"
#include "signal/lines/tied_waves.hpp"

namespace lampbeat::signal::lines {
namespace {

constexpr double pi = std::numbers::pi;
/// Blocks in a cycle of the fastest line: its mean over a block is then 94 % of it (the Dirichlet
/// kernel at π/5), so that the noise of its amplitude grows by 7 %.
constexpr double fewest_blocks_a_cycle = 5.0;
/// Blocks in the window: enough for the 64 lines a window may hold.
constexpr std::size_t fewest_blocks = 1024;

std::size_t block_length(const Window& window, const LineModel& model) {
  if (!window.even() || model.lines.empty()) return 1;
  double fastest_hz = 0.0;
  for (const TiedLine& line : model.lines)
    fastest_hz = std::max(fastest_hz, std::abs(model.hz(line)));
  const double by_speed = 1.0 / (window.interval_s * fewest_blocks_a_cycle * fastest_hz);
  const std::size_t by_size = window.size() / fewest_blocks;
  if (!(by_speed < static_cast<double>(by_size))) return std::max<std::size_t>(by_size, 1);
  return std::max<std::size_t>(static_cast<std::size_t>(by_speed), 1);
}

std::vector<double> block_means(std::span<const double> value, std::size_t length) {
  std::vector<double> means(value.size() / length);
  for (std::size_t b = 0; b < means.size(); ++b) {
    double sum = 0.0;
    for (std::size_t i = 0; i < length; ++i) sum += value[b * length + i];
    means[b] = sum / static_cast<double>(length);
  }
  return means;
}

}  // namespace

LineFit fit_slow_lines(const Window& window, const LineModel& start, int most_steps) {
  const std::size_t length = block_length(window, start);
  if (length < 2) {
    return fit_lines(window, start, most_steps, Uncertainty::joint, Waves::looked_up);
  }
  const std::vector<double> means = block_means(window.value, length);
  const auto block = static_cast<double>(length);
  const Window thinned{means, {}, window.interval_s * block};
  LineFit fit = fit_lines(thinned, start, most_steps, Uncertainty::joint, Waves::looked_up);

  // Back to the samples: a mean of `block` samples of a wave is the wave at the block's middle,
  // smaller by the Dirichlet kernel.
  const double delay_s = (block - 1.0) / 2.0 * window.interval_s;
  for (FittedLine& line : fit.lines) {
    const double half_turn = pi * line.hz * window.interval_s;
    const double droop = std::sin(block * half_turn) / (block * std::sin(half_turn));
    line.amplitude /= droop;
    line.amplitude_sd /= droop;
    line.phase_rad = arithmetic::wrapped_rad(line.phase_rad - 2.0 * pi * line.hz * delay_s);
  }
  const FitClock coarse(thinned);
  const FitClock fine(window);
  const double slope_per_s = fit.change / 2.0 / coarse.half_s;
  fit.level += slope_per_s * (fine.centre_s - (coarse.centre_s + delay_s));
  fit.change = 2.0 * slope_per_s * fine.half_s;

  std::vector<double> rates;
  LineAmplitudes at = no_amplitudes(0);
  at.level = fit.level;
  at.slope = fit.change / 2.0;
  for (const FittedLine& line : fit.lines) {
    rates.push_back(2.0 * pi * line.hz * fine.half_s);
    const double angle = line.phase_rad + 2.0 * pi * line.hz * fine.centre_s;
    at.cosine.push_back(line.amplitude * std::cos(angle));
    at.sine.push_back(-line.amplitude * std::sin(angle));
  }
  fit.residual = tied_waves(window.size(), fit.model, rates, at);
  for (std::size_t n = 0; n < fit.residual.size(); ++n) {
    fit.residual[n] = window.value[n] - fit.residual[n];
  }
  const double squares = arithmetic::sum_of_products(fit.residual, fit.residual);
  const double unknowns = 2.0 + 2.0 * static_cast<double>(start.lines.size()) +
                          static_cast<double>(start.fundamental_hz.size());
  fit.noise_sd = std::sqrt(squares / std::max(static_cast<double>(window.size()) - unknowns, 1.0));
  return fit;
}

}  // namespace lampbeat::signal::lines
