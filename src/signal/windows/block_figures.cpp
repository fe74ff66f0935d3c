#include "signal/windows/block_figures.hpp"

#include <array>
#include <cmath>
#include <vector>

#include "arithmetic/lanes.hpp"

namespace lampbeat::signal::windows {

namespace {

/// The rms of so many is known to a quarter (1/√16).
constexpr std::size_t fewest_details = 8;

/// One octave of the Haar transform: details out, means of pairs kept. `out` may begin where `in`
/// does.
double halve(const double* in, std::size_t pairs, double* out) {
  constexpr std::size_t abreast = 4;  // sums that need not wait for each other
  std::array<double, abreast> energy{};
  const auto take = [&](std::size_t i, std::size_t k) {
    const double detail = in[2 * i + 1] - in[2 * i];
    const double mean = (in[2 * i + 1] + in[2 * i]) / 2.0;
    energy[k] += detail * detail;
    return mean;
  };
  std::size_t i = 0;
  for (; i + abreast <= pairs; i += abreast) {
    std::array<double, abreast> mean;
    for (std::size_t k = 0; k < abreast; ++k) mean[k] = take(i + k, k);
    for (std::size_t k = 0; k < abreast; ++k) out[i + k] = mean[k];
  }
  for (; i < pairs; ++i) out[i] = take(i, 0);
  const double sum = (energy[0] + energy[2]) + (energy[1] + energy[3]);
  return std::sqrt(sum / static_cast<double>(pairs)) / 2.0;
}

}  // namespace

BlockFigures figures_of_block(std::span<const double> samples) {
  BlockFigures block;
  block.figures = 1;
  block.figure[0] = arithmetic::sum_of(samples) / static_cast<double>(samples.size());
  thread_local std::vector<double> means;
  means.resize(samples.size() / 2);
  const double* in = samples.data();
  for (std::size_t n = samples.size() / 2; n >= fewest_details; n /= 2) {
    if (block.figures == block.figure.size()) break;
    block.figure[block.figures++] = halve(in, n, means.data());
    in = means.data();
  }
  return block;
}

}  // namespace lampbeat::signal::windows
