#include "lampbeat/tones.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>

#include "arithmetic/median.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/spectrum.hpp"
#include "signal/lines/line_fit.hpp"
#include "signal/lines/line_model.hpp"
#include "signal/lines/thinned_fit.hpp"
#include "signal/spectrum/blackman_harris.hpp"
#include "signal/spectrum/peaks.hpp"
#include "signal/tones/grouping.hpp"

namespace lampbeat {
namespace {

using signal::FittedLine;
using signal::Grouping;
using signal::Line;
using signal::LineFit;
using signal::LineModel;
using signal::Peak;

constexpr std::size_t fewest_samples = 16;
/// A rhythm is claimed only when the window holds this many of its cycles.
constexpr double fewest_cycles = 3.0;
/// Lines closer together than this (in bins of 1/duration) cannot be told apart reliably.
constexpr double closest_bins = 0.7;
constexpr int search_rounds = 6;
constexpr int uneven_search_rounds = 10;
/// What one round may take of its strongest peak: down to the window's side lobes, with room to
/// spare, when samples are even; unevenness and gaps raise side lobes of their own.
constexpr double even_round_depth = 1e-4;
constexpr double uneven_round_depth = 0.05;
constexpr int harmonic_rounds = 3;
/// Whole search of one series' empty multiples in one window.
constexpr double harmonic_false_alarm = 1e-2;
/// Below this fraction of the strongest line, what is left may be the strongest line's
/// imperfection.
constexpr double least_of_all = 1e-5;

void require_finite(const Window& window) {
  double sum = 0.0;
  for (const double x : window.value) sum += x;
  if (std::isfinite(sum)) return;
  for (std::size_t i = 0; i < window.size(); ++i) {
    if (!std::isfinite(window.value[i])) {
      throw UsageError("sample " + std::to_string(i) +
                       " of the window is not a finite number; remove it before the analysis");
    }
  }
}

double strongest_of(const LineFit& fit) {
  double strongest = 0.0;
  for (const FittedLine& line : fit.lines) strongest = std::max(strongest, line.amplitude);
  return strongest;
}

/// One window's search: lines one by one, then series.
class Search {
 public:
  Search(const Window& window, const ToneSettings& settings)
      : window_(window),
        settings_(settings),
        duration_(window.duration_s()),
        rate_(1.0 / window.interval_s),
        most_lines_(std::min(static_cast<std::size_t>(std::max(settings.most_tones, 0)),
                             window.size() / 8)) {}

  void run() {
    fit_ = signal::fit_lines(window_, LineModel{}, 1);
    spectrum_ = residual_spectrum();
    const int rounds = window_.even() ? search_rounds : uneven_search_rounds;
    for (int round = 0; round < rounds; ++round) {
      if (!add_free_lines()) break;
    }
    regroup();
    for (int round = 0; round < harmonic_rounds; ++round) {
      if (!add_harmonics()) break;
    }
  }

  const LineFit& fit() const { return fit_; }
  const Spectrum& spectrum() const { return spectrum_; }
  const std::optional<std::size_t>& mains() const { return mains_; }
  double clutter() const { return clutter_; }
  double least_amplitude() const {
    return std::max(settings_.least_relative_amplitude * std::abs(fit_.level),
                    least_of_all * strongest_of(fit_));
  }

 private:
  Spectrum residual_spectrum() const {
    return spectrum_of(Window{fit_.residual, window_.time_s, window_.interval_s});
  }
  bool too_close(double hz, const LineModel& model) const {
    const double seen = signal::folded_hz(hz, rate_);
    const double gap = closest_bins / duration_;
    if (seen < gap || seen > rate_ / 2.0 - gap) return true;
    return std::any_of(model.lines.begin(), model.lines.end(), [&](const Line& line) {
      return std::abs(signal::folded_hz(model.hz(line), rate_) - seen) < gap;
    });
  }
  std::vector<Peak> known_peaks() const {
    std::vector<Peak> known;
    for (const FittedLine& line : fit_.lines) {
      known.push_back({signal::folded_hz(line.hz, rate_), line.amplitude});
    }
    return known;
  }

  bool add_free_lines() {
    if (fit_.lines.size() >= most_lines_) return false;
    signal::PeakRules rules;
    rules.lowest_hz = (fewest_cycles - 0.3) / duration_;
    rules.highest_hz = rate_ / 2.0 - 1.0 / duration_;
    rules.least_amplitude = least_amplitude();
    rules.least_of_strongest = window_.even() ? even_round_depth : uneven_round_depth;
    std::vector<Peak> peaks = signal::find_peaks(spectrum_, rules, known_peaks());
    LineModel model = fit_.model;
    for (const Peak& peak : peaks) {
      if (model.lines.size() >= most_lines_) break;
      if (too_close(peak.hz, model)) continue;
      model.lines.push_back({model.fundamental_hz.size(), 1});
      model.fundamental_hz.push_back(peak.hz);
    }
    if (model.lines.size() == fit_.model.lines.size()) return false;
    const std::size_t before = fit_.lines.size();
    fit_ = signal::fit_lines(window_, model, 6, signal::Uncertainty::lonely);
    spectrum_ = residual_spectrum();
    drop_empty_lines();
    return fit_.lines.size() > before;
  }

  /// What looked like a line may have been a side lobe of another: with both in the fit, nothing is
  /// left of it.
  void drop_empty_lines() {
    LineModel kept;
    const double ratio =
        0.8 * signal::threshold_over_floor(static_cast<double>(spectrum_.floor.size()), 1e-3);
    for (std::size_t i = 0; i < fit_.lines.size(); ++i) {
      const double seen = signal::folded_hz(fit_.lines[i].hz, rate_);
      if (fit_.lines[i].amplitude < ratio * signal::floor_near(spectrum_, seen)) continue;
      if (too_close(fit_.lines[i].hz, kept)) continue;
      kept.lines.push_back({kept.fundamental_hz.size(), 1});
      kept.fundamental_hz.push_back(fit_.lines[i].hz);
    }
    if (kept.lines.size() == fit_.lines.size()) return;
    fit_ = signal::fit_lines(window_, kept, 4, signal::Uncertainty::lonely);
    spectrum_ = residual_spectrum();
  }

  void regroup() {
    if (fit_.lines.empty()) return;
    const Grouping grouping = signal::group_lines(fit_, {duration_, rate_, settings_.mains_hz});
    mains_ = grouping.mains;
    clutter_ = grouping.clutter;
    const double free_noise = fit_.noise_sd;
    fit_ = signal::fit_lines(window_, grouping.model, 8);
    // Tying lines together moves them by less than their uncertainties: what is left looks the
    // same.
    if (fit_.noise_sd > 1.01 * free_noise) spectrum_ = residual_spectrum();
  }

  /// Weak multiples of an established fundamental need not stand out of the whole spectrum, only at
  /// their own place: the odds of a false one are shared among the orders, most to the lowest.
  bool add_harmonics() {
    LineModel model = fit_.model;
    for (std::size_t s = 0; s < model.fundamental_hz.size(); ++s) {
      const double fundamental = model.fundamental_hz[s];
      const bool locked = mains_ && *mains_ == s;
      const int highest = static_cast<int>(rate_ / 2.0 / fundamental);
      for (int order = locked ? 2 : 1; order <= highest; order += locked ? 2 : 1) {
        if (model.lines.size() >= most_lines_) break;
        const double hz = order * fundamental;
        if (hz < fewest_cycles / duration_ || too_close(hz, model)) continue;
        const double share = 6.0 / (std::numbers::pi * std::numbers::pi * order * order);
        const double ratio = signal::threshold_over_floor(1.0, harmonic_false_alarm * share);
        const double amplitude = signal::amplitude_near(spectrum_, hz);
        if (amplitude < least_amplitude() ||
            amplitude < ratio * signal::floor_near(spectrum_, hz)) {
          continue;
        }
        model.lines.push_back({s, order});
      }
    }
    if (model.lines.size() == fit_.model.lines.size()) return false;
    fit_ = signal::fit_lines(window_, model, 4);
    spectrum_ = residual_spectrum();
    return true;
  }

  const Window& window_;
  const ToneSettings& settings_;
  double duration_;
  double rate_;
  std::size_t most_lines_;
  LineFit fit_;
  Spectrum spectrum_;
  std::optional<std::size_t> mains_;
  double clutter_ = 0.0;
};

Tone as_tone(const FittedLine& line, int order) {
  return {line.hz,           line.amplitude,    line.phase_rad, line.hz_sd,
          line.amplitude_sd, line.phase_sd_rad, order};
}

double strongest_of(const ToneSeries& series) {
  double strongest = 0.0;
  for (const Tone& tone : series.tones) strongest = std::max(strongest, tone.amplitude);
  return strongest;
}

void sort_by_strength(ToneAnalysis& analysis) {
  for (ToneSeries& series : analysis.series) {
    std::stable_sort(series.tones.begin(), series.tones.end(),
                     [](const Tone& a, const Tone& b) { return a.amplitude > b.amplitude; });
  }
  std::stable_sort(
      analysis.series.begin(), analysis.series.end(),
      [](const ToneSeries& a, const ToneSeries& b) { return strongest_of(a) > strongest_of(b); });
}

/// Series of the fit: one per fundamental, and one per carrier that has sidebands.
ToneAnalysis as_analysis(const Search& search) {
  const LineFit& fit = search.fit();
  const std::optional<std::size_t>& mains = search.mains();
  ToneAnalysis analysis;
  analysis.analysed = true;
  analysis.mean = fit.level;
  analysis.change = fit.change;
  analysis.noise_sd = fit.noise_sd;
  const LineModel& model = fit.model;
  for (std::size_t s = 0; s < model.fundamental_hz.size(); ++s) {
    ToneSeries own;
    own.kind = mains && *mains == s ? SeriesKind::mains_locked : SeriesKind::free_running;
    own.fundamental_hz = model.fundamental_hz[s];
    own.fundamental_hz_sd = fit.fundamental_hz_sd[s];
    ToneSeries beside = own;
    beside.kind = SeriesKind::sideband;
    for (std::size_t i = 0; i < model.lines.size(); ++i) {
      const Line& line = model.lines[i];
      if (line.fundamental != s) continue;
      if (line.other_order == 0) {
        own.tones.push_back(as_tone(fit.lines[i], line.order));
      } else {
        beside.tones.push_back(as_tone(fit.lines[i], 0));
      }
    }
    if (!own.tones.empty()) analysis.series.push_back(std::move(own));
    if (!beside.tones.empty()) analysis.series.push_back(std::move(beside));
  }
  return analysis;
}

/// Energy that may have folded, on the strength of what folding would do to percent flicker. A
/// light's own rhythm is nearly always a switched one with a row of harmonics. A lone free-running
/// tone so high that not even its third multiple would fit below half the sampling rate cannot show
/// them, and may as well be a rhythm from above half the rate that folded down: nothing in the
/// samples tells the two apart. Harmonics recognised where they fold need no such doubt, nor does
/// anything that moves percent flicker by less than a point (half a percent of the mean).
bool folding_suspected(const ToneAnalysis& analysis, double rate_hz) {
  constexpr double least_effect = 0.005;
  for (const ToneSeries& series : analysis.series) {
    if (series.kind != SeriesKind::free_running) continue;
    if (series.fundamental_hz < rate_hz / 6.0) continue;
    if (strongest_of(series) >= least_effect * std::abs(analysis.mean)) return true;
  }
  return false;
}

}  // namespace

ToneAnalysis analyse_tones(const Window& window, const ToneSettings& settings) {
  require_finite(window);
  if (window.size() < fewest_samples || !(window.interval_s > 0.0)) {
    ToneAnalysis result;
    for (const double x : window.value) result.mean += x / static_cast<double>(window.size());
    return result;
  }
  Search search(window, settings);
  search.run();
  ToneAnalysis analysis = as_analysis(search);
  sort_by_strength(analysis);
  analysis.alias_suspected = folding_suspected(analysis, 1.0 / window.interval_s);

  // A line at the bare threshold is missed half the time, and reads low between two bins.
  const Spectrum& spectrum = search.spectrum();
  std::vector<double> floors = spectrum.floor;
  if (!floors.empty()) {
    const double bins = static_cast<double>(floors.size());
    analysis.detection_floor = std::max(
        arithmetic::upper_median(floors) * (signal::threshold_over_floor(bins, 1e-3) + 1.0) * 1.1,
        std::max(search.least_amplitude(), search.clutter()));
  }
  return analysis;
}

namespace {

/// Which multiples of two fundamentals make a sideband's frequency.
std::optional<Line> sideband_line(double hz, std::size_t carrier, const LineModel& model) {
  std::optional<Line> best;
  double best_miss = 1e-6 * hz;
  for (std::size_t other = 0; other < model.fundamental_hz.size(); ++other) {
    if (other == carrier) continue;
    for (int width = -12; width <= 12; ++width) {
      if (width == 0) continue;
      const double left = hz - width * model.fundamental_hz[other];
      const double order = std::round(left / model.fundamental_hz[carrier]);
      const double miss = std::abs(left - order * model.fundamental_hz[carrier]);
      if (order == 0.0 || std::abs(order) > 1000.0 || miss >= best_miss) continue;
      best_miss = miss;
      best = Line{carrier, static_cast<int>(order), other, width};
    }
  }
  return best;
}

}  // namespace

ToneAnalysis follow_tones(const Window& window, const ToneAnalysis& known) {
  require_finite(window);
  std::size_t tones = 0;
  for (const ToneSeries& series : known.series) tones += series.tones.size();
  if (window.size() < std::max(fewest_samples, 4 * tones + 8) || !(window.interval_s > 0.0)) {
    ToneAnalysis result;
    for (const double x : window.value) result.mean += x / static_cast<double>(window.size());
    return result;
  }

  LineModel model;
  std::vector<std::size_t> place(known.series.size());
  for (std::size_t s = 0; s < known.series.size(); ++s) {
    if (known.series[s].kind == SeriesKind::sideband) continue;
    place[s] = model.fundamental_hz.size();
    model.fundamental_hz.push_back(known.series[s].fundamental_hz);
  }
  const std::size_t own_fundamentals = model.fundamental_hz.size();
  LineModel base = model;
  for (std::size_t s = 0; s < known.series.size(); ++s) {
    const ToneSeries& series = known.series[s];
    for (const Tone& tone : series.tones) {
      if (series.kind != SeriesKind::sideband) {
        model.lines.push_back({place[s], tone.order});
        continue;
      }
      std::optional<Line> tied;
      for (std::size_t c = 0; c < own_fundamentals && !tied; ++c) {
        if (base.fundamental_hz[c] == series.fundamental_hz) tied = sideband_line(tone.hz, c, base);
      }
      if (!tied) {
        tied = Line{model.fundamental_hz.size(), 1};
        model.fundamental_hz.push_back(tone.hz);
      }
      model.lines.push_back(*tied);
    }
  }

  const LineFit fit = signal::fit_slow_lines(window, model, 2);
  ToneAnalysis result = known;
  result.analysed = true;
  result.mean = fit.level;
  result.change = fit.change;
  result.noise_sd = fit.noise_sd;
  std::size_t next = 0;
  for (ToneSeries& series : result.series) {
    const Line& first = fit.model.lines[next];
    series.fundamental_hz = fit.model.fundamental_hz[first.fundamental];
    series.fundamental_hz_sd = fit.fundamental_hz_sd[first.fundamental];
    for (Tone& tone : series.tones) {
      tone = as_tone(fit.lines[next], tone.order);
      ++next;
    }
  }
  return result;
}

double model_at(const ToneAnalysis& analysis, double t_s) {
  double value = analysis.mean;
  for (const ToneSeries& series : analysis.series) {
    for (const Tone& tone : series.tones) {
      value += tone.amplitude * std::cos(2.0 * std::numbers::pi * tone.hz * t_s + tone.phase_rad);
    }
  }
  return value;
}

}  // namespace lampbeat
