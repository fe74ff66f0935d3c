#include "signal/windows/block_figures.hpp"

#include <cmath>
#include <vector>

namespace lampbeat::signal::windows {

namespace {

/// The rms of so many is known to a quarter (1/√16).
constexpr std::size_t fewest_details = 8;

/// One octave of the Haar transform: details out, means of pairs kept.
double halve(const double* in, std::size_t pairs, double* out) {
  double energy = 0.0;
  for (std::size_t i = 0; i < pairs; ++i) {
    const double detail = in[2 * i + 1] - in[2 * i];
    energy += detail * detail;
    out[i] = (in[2 * i + 1] + in[2 * i]) / 2.0;
  }
  return std::sqrt(energy / static_cast<double>(pairs)) / 2.0;
}

}  // namespace

BlockFigures figures_of_block(std::span<const double> samples) {
  BlockFigures block;
  block.figures = 1;
  double sum = 0.0;
  for (const double x : samples) sum += x;
  block.figure[0] = sum / static_cast<double>(samples.size());
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
