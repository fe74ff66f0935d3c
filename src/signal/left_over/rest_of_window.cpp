#include "signal/left_over/rest_of_window.hpp"

#include <algorithm>
#include <cmath>

#include "arithmetic/alias.hpp"
#include "arithmetic/lanes.hpp"
#include "arithmetic/phase.hpp"
#include "signal/course/slow_light.hpp"
#include "signal/lines/fit_clock.hpp"
#include "signal/lines/waves.hpp"

namespace lampbeat::signal::left_over {
namespace {

/// The Hann window's main lobe, and one bin for a rhythm that moves within the window.
constexpr double lobe_bins = 3.0;
/// A rhythm's clock strays: its multiples are this much wider, at most this share of their spacing.
constexpr double stray_share = 0.003;
constexpr double most_of_spacing = 0.3;

/// Takes out the tones that no folded rhythm holds: third rhythms, traces and, where asked for,
/// sidebands. Slow ones stay for the course of the whole capture.
void take_out_lone_tones(std::vector<double>& value, const Window& window,
                         const tones::RhythmChoice& choice, bool sidebands) {
  const lines::FitClock clock(window);
  std::vector<const std::vector<Tone>*> lone = {&choice.others, &choice.traces};
  if (sidebands) lone.push_back(&choice.sidebands);
  std::vector<double> rate, cosine, sine;
  for (const std::vector<Tone>* tones : lone) {
    for (const Tone& tone : *tones) {
      if (tone.hz < course::slow_rhythms_below_hz) continue;
      rate.push_back(arithmetic::turn * tone.hz * clock.half_s);
      const double angle = tone.phase_rad + arithmetic::turn * tone.hz * clock.centre_s;
      cosine.push_back(tone.amplitude * std::cos(angle));
      sine.push_back(-tone.amplitude * std::sin(angle));
    }
  }
  if (rate.empty()) return;
  if (window.even()) {
    const std::vector<double> waves = lines::waves(window.size(), rate, 0.0, 0.0, cosine, sine);
    for (std::size_t i = 0; i < value.size(); ++i) value[i] -= waves[i];
    return;
  }
  for (std::size_t i = 0; i < value.size(); ++i) {
    const double u = clock.at(window.time_at(i));
    for (std::size_t k = 0; k < rate.size(); ++k) {
      value[i] -= cosine[k] * std::cos(rate[k] * u) + sine[k] * std::sin(rate[k] * u);
    }
  }
}

double power_of(const std::vector<double>& value) {
  const double mean = arithmetic::sum_of(value) / static_cast<double>(value.size());
  return arithmetic::sum_of_products(value, value) / static_cast<double>(value.size()) -
         mean * mean;
}

std::vector<Rhythm> fast_ones(std::vector<Rhythm> rhythms) {
  std::erase_if(rhythms, [](const Rhythm& r) { return r.hz < course::slow_rhythms_below_hz; });
  return rhythms;
}

/// Mean and slope are taken out of each window, and with them what is slower than this.
constexpr double slowest_bins = 2.5;

}  // namespace

bool enough_for_account(const Window& light) {
  constexpr std::size_t fewest_samples = 32;
  return light.size() >= fewest_samples && light.interval_s > 0.0;
}

void RestOfWindow::take_out(const Window& light, const tones::RhythmChoice& choice) {
  product_left_less_ = false;
  if (choice.rhythms.size() != 2) {
    cycle::without_rhythms(light, choice.rhythms, left_.sum);
    take_out_lone_tones(left_.sum, light, choice, true);
    return;
  }
  cycle::without_rhythms_either_way(light, choice.rhythms, left_);
  take_out_lone_tones(left_.sum, light, choice, true);
  // Sidebands are what a product of two rhythms consists of.
  take_out_lone_tones(left_.product, light, choice, false);
  product_left_less_ = power_of(left_.product) < power_of(left_.sum);
}

void RestOfWindow::find(const Window& light, double start_s, const ToneAnalysis& tones,
                        const tones::RhythmChoice& choice, double least) {
  bands_.clear();
  strays_ = {};
  if (!enough_for_account(light)) return;
  take_out(light, choice);
  const double bin_hz = 1.0 / light.duration_s();
  const double rate_hz = 1.0 / light.interval_s;
  bands_.add(Window{beside(), light.time_s, light.interval_s}, slowest_bins * bin_hz, rate_hz / 2.0,
             gaps_around(tones, choice.rhythms, bin_hz, rate_hz));
  const std::vector<Rhythm> fast = fast_ones(choice.rhythms);
  slow_stay_ = fast.size() < choice.rhythms.size();
  if (slow_stay_) cycle::without_rhythms(light, fast, with_slow_);
  strays_ = strays_in(beside(), least, start_s, light);
}

std::vector<spectrum::Gap> gaps_around(const ToneAnalysis& tones,
                                       const std::vector<Rhythm>& rhythms, double bin_hz,
                                       double rate_hz) {
  std::vector<spectrum::Gap> gaps;
  const auto leave_out = [&](double hz, double most_hz) {
    const double reach = std::min(lobe_bins * bin_hz + stray_share * hz, most_hz);
    const double seen = arithmetic::folded_hz(hz, rate_hz);
    gaps.push_back({seen - reach, seen + reach});
  };
  for (const ToneSeries& series : tones.series) {
    for (const Tone& tone : series.tones) leave_out(tone.hz, lobe_bins * bin_hz);
  }
  for (const Rhythm& rhythm : rhythms) {
    const double most_hz = most_of_spacing * rhythm.hz;
    for (double hz = rhythm.hz; hz < rate_hz / 2.0; hz += rhythm.hz) leave_out(hz, most_hz);
  }
  std::sort(gaps.begin(), gaps.end(),
            [](const spectrum::Gap& a, const spectrum::Gap& b) { return a.from_hz < b.from_hz; });
  return gaps;
}

}  // namespace lampbeat::signal::left_over
