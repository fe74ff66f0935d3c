#include "signal/slow_light.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "signal/rhythm.hpp"

namespace lampbeat::signal {
namespace {

/// A drift must explain this share of all that moves to be taken for one.
constexpr double mostly = 0.7;

double sum_of_squares(const std::vector<double>& value) {
  double sum = 0.0;
  for (const double x : value) sum += x * x;
  return sum;
}

/// Least-squares rising fit by pooling adjacent violators; `sign` −1 for a falling one.
std::vector<double> rising_fit(const std::vector<double>& value, double sign) {
  struct Pool {
    double sum;
    double count;
    double mean() const { return sum / count; }
  };
  std::vector<Pool> pools;
  for (const double x : value) {
    pools.push_back({sign * x, 1.0});
    while (pools.size() > 1 && pools[pools.size() - 2].mean() > pools.back().mean()) {
      pools[pools.size() - 2].sum += pools.back().sum;
      pools[pools.size() - 2].count += pools.back().count;
      pools.pop_back();
    }
  }
  std::vector<double> fit;
  fit.reserve(value.size());
  for (const Pool& pool : pools) {
    fit.insert(fit.end(), static_cast<std::size_t>(pool.count), sign * pool.mean());
  }
  return fit;
}

std::vector<double> without_line(std::vector<double> value) {
  const double middle = (static_cast<double>(value.size()) - 1.0) / 2.0;
  double sum = 0.0;
  double moment = 0.0;
  double squares = 0.0;
  for (std::size_t i = 0; i < value.size(); ++i) {
    const double u = static_cast<double>(i) - middle;
    sum += value[i];
    moment += value[i] * u;
    squares += u * u;
  }
  const double mean = sum / static_cast<double>(value.size());
  const double slope = squares > 0.0 ? moment / squares : 0.0;
  for (std::size_t i = 0; i < value.size(); ++i) {
    value[i] -= mean + slope * (static_cast<double>(i) - middle);
  }
  return value;
}

}  // namespace

std::vector<double> without_drift(const std::vector<double>& value) {
  if (value.size() < 3) return std::vector<double>(value.size());
  std::vector<double> best = without_line(value);
  double level = 0.0;
  for (const double x : value) level += x / static_cast<double>(value.size());
  double all = 0.0;
  for (const double x : value) all += (x - level) * (x - level);
  const double straight = sum_of_squares(best);
  for (const double sign : {+1.0, -1.0}) {
    std::vector<double> rest = rising_fit(value, sign);
    for (std::size_t i = 0; i < value.size(); ++i) rest[i] = value[i] - rest[i];
    const double left = sum_of_squares(rest);
    if (left < (1.0 - mostly) * all && left < straight / 2.0 && left < sum_of_squares(best)) {
      best = std::move(rest);
    }
  }
  return best;
}

std::optional<SlowRhythm> slow_rhythm(const Course::Part& part, double below_hz) {
  constexpr std::size_t fewest_blocks = 48;
  if (part.value.size() < fewest_blocks) return std::nullopt;
  double level = 0.0;
  for (const double x : part.value) level += x / static_cast<double>(part.value.size());
  std::vector<double> value = without_drift(part.value);
  for (double& x : value) x += level;
  const Window window{value, {}, part.interval_s};
  ToneSettings settings;
  settings.mains_hz = 1e3;  // none of the mains' own is this slow
  ToneAnalysis tones = analyse_tones(window, settings);
  const Tone* strongest = strongest_tone(tones);
  if (!strongest || strongest->hz >= below_hz) return std::nullopt;
  for (ToneSeries& series : tones.series) series.kind = SeriesKind::free_running;
  const RhythmChoice choice = choose_rhythms(tones);
  if (choice.rhythms.empty()) return std::nullopt;
  const std::vector<Rhythm> lead = {choice.rhythms.front()};
  const auto cycle = cycle_figures(window, lead);
  if (!cycle) return std::nullopt;
  return SlowRhythm{tones, *cycle, lead.front()};
}

}  // namespace lampbeat::signal
