#include "signal/cycle/sample_index.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "signal/cycle/noise_lift.hpp"

namespace lampbeat::signal::cycle {
namespace {

/// Stretches whose disagreement is the uncertainty.
constexpr std::size_t parts = 16;

double mean_of(const std::vector<double>& value) {
  double sum = 0.0;
  for (const double x : value) sum += x;
  return sum / static_cast<double>(value.size());
}

}  // namespace

SampleIndex sample_index(const std::vector<double>& value, double noise_sd) {
  const double mean = mean_of(value);
  const std::size_t each = std::max<std::size_t>(1, value.size() / parts);
  std::vector<double> distance;  // of each stretch, by its own samples from the mean of all
  std::vector<double> level;
  NoiseLift noise(noise_sd);
  double sum = 0.0;
  for (std::size_t from = 0; from + each <= value.size(); from += each) {
    double off = 0.0;
    double own = 0.0;
    for (std::size_t i = from; i < from + each; ++i) {
      const double d = value[i] - mean;
      off += std::abs(d);
      own += d;
      noise.see(d);
    }
    sum += off;
    distance.push_back(off / static_cast<double>(each));
    level.push_back(mean + own / static_cast<double>(each));
  }
  const auto n = static_cast<double>(distance.size());
  const double samples = n * static_cast<double>(each);
  const double lift = noise.value();
  SampleIndex index;
  index.value = std::max(0.0, (sum / samples - lift) / (2.0 * mean));
  double scatter = 0.0;
  for (std::size_t s = 0; s < distance.size(); ++s) {
    const double off = (distance[s] - lift) / (2.0 * level[s]) - index.value;
    scatter += off * off;
  }
  const double random = n > 1.0 ? std::sqrt(scatter / (n - 1.0) / n) : 0.0;
  index.sd = std::hypot(random, noise.sd() / (2.0 * mean));
  return index;
}

}  // namespace lampbeat::signal::cycle
