#include "signal/course/slow_light.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "arithmetic/median.hpp"
#include "signal/cycle/ripple_free.hpp"
#include "signal/tones/rhythm.hpp"

namespace lampbeat::signal::course {
namespace {

/// A drift must explain this share of all that moves to be taken for one: of a sine of five
/// quarters of a cycle or more a rising fit explains at most 45 %, of a single one up to 88 %.
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

/// Means over symmetric stretches of up to an eighth of the whole, shorter towards the ends: what a
/// rising fit makes of the noise is no drift.
std::vector<double> smoothed(const std::vector<double>& value) {
  const std::size_t n = value.size();
  std::vector<double> sum(n + 1);
  for (std::size_t i = 0; i < n; ++i) sum[i + 1] = sum[i] + value[i];
  std::vector<double> result(n);
  for (std::size_t i = 0; i < n; ++i) {
    const std::size_t reach = std::min({i, n - 1 - i, n / 16});
    result[i] = (sum[i + reach + 1] - sum[i - reach]) / static_cast<double>(2 * reach + 1);
  }
  return result;
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

/// Whether the averaged cycle explains nearly all of the course's movement that is not noise.
bool keeps_time(const Window& window, const std::vector<Rhythm>& rhythm) {
  constexpr double most_left = 0.1;  // in power: a third of the amplitude
  // The averaged cycle and its frequency each take up what one cycle could say; only the others can
  // disagree with them, so that a few cycles of irregular light look like a rhythm.
  constexpr double cycles_taken_up = 2.0;
  const double cycles = rhythm.front().hz * window.duration_s();
  const double others = std::max(0.0, 1.0 - cycles_taken_up / cycles);
  const std::vector<double> all = without_line({window.value.begin(), window.value.end()});
  const std::vector<double> rest = without_line(cycle::without_rhythms(window, rhythm));
  const double noise =
      std::min(std::pow(arithmetic::noise_from_steps(all), 2) * static_cast<double>(all.size()),
               0.9 * sum_of_squares(all));
  return sum_of_squares(rest) - noise < most_left * others * (sum_of_squares(all) - noise);
}

/// Slower movement below this is listed nowhere: nobody could see or film it.
constexpr double least_percent = 0.1;

/// Makes rhythms of their own of sidebands too.
void run_free(ToneSeries& series) {
  series.kind = SeriesKind::free_running;
  for (Tone& tone : series.tones) {
    if (!tone.beside) continue;
    tone.order = 1;
    tone.beside.reset();
  }
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
    std::vector<double> rest = smoothed(rising_fit(value, sign));
    for (std::size_t i = 0; i < value.size(); ++i) rest[i] = value[i] - rest[i];
    const double left = sum_of_squares(rest);
    if (left < (1.0 - mostly) * all && left < straight / 2.0 && left < sum_of_squares(best)) {
      best = std::move(rest);
    }
  }
  return best;
}

std::optional<SlowRhythm> slow_rhythm(const Course::Part& part, double below_hz) {
  if (part.value.size() < fewest_blocks_of_a_rhythm) return std::nullopt;
  double level = 0.0;
  for (const double x : part.value) level += x / static_cast<double>(part.value.size());
  std::vector<double> value = without_drift(part.value);
  for (double& x : value) x += level;
  const Window window{value, {}, part.interval_s};
  ToneSettings settings;
  settings.mains_hz = 1e3;  // none of the mains' own is this slow
  ToneAnalysis tones = analyse_tones(window, settings);
  const Tone* strongest = tones::strongest_tone(tones);
  if (!strongest || strongest->hz >= slow_rhythms_below_hz) return std::nullopt;
  for (ToneSeries& series : tones.series) run_free(series);
  const tones::RhythmChoice choice = tones::choose_rhythms(tones);
  if (choice.rhythms.empty()) return std::nullopt;
  const std::vector<Rhythm> lead = {choice.rhythms.front()};
  if (lead.front().hz >= below_hz || !keeps_time(window, lead)) return std::nullopt;
  const auto cycle = cycle_figures(window, lead);
  if (!cycle || cycle->percent_flicker < least_percent) return std::nullopt;
  return SlowRhythm{tones, *cycle, lead.front()};
}

}  // namespace lampbeat::signal::course
