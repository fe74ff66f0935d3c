#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "lampbeat/error.hpp"
#include "signal/honesty.hpp"
#include "signal/measurement_builder.hpp"
#include "signal/reconstruction.hpp"

// The second half of the builder: from sums and lists to figures, each given or withheld.

namespace lampbeat {

namespace {

constexpr double slowest_useful_rate_hz = 400.0;  ///< four samples a cycle of 100 Hz light
constexpr double fewest_samples_a_cycle = 5.0;
constexpr double good_samples_a_cycle = 12.0;
constexpr double fewest_cycles = 3.0;
constexpr double good_duration_s = 0.999;
constexpr double uneven_from_percent = 5.0;
constexpr double drift_from_percent = 2.0;
constexpr double wander_from_hz = 0.005;
constexpr double half_cycles_from_percent = 0.3;
constexpr double largest_reading = 1e100;  ///< beyond these, squares overflow
constexpr double smallest_reading = 1e-100;
constexpr double slow_below_hz = 40.0;
constexpr double slow_from_percent = 0.2;

double median(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  const std::size_t n = values.size();
  return n % 2 == 1 ? values[n / 2] : (values[n / 2 - 1] + values[n / 2]) / 2.0;
}

std::vector<double> present(const std::vector<WindowFigures>& windows, const Epoch& epoch,
                            std::optional<double> WindowFigures::*figure) {
  std::vector<double> values;
  for (const WindowFigures& w : windows) {
    if (w.*figure && epoch.covers(w.start_s)) values.push_back(*(w.*figure));
  }
  return values;
}

std::string kind_word(SeriesKind kind) {
  switch (kind) {
    case SeriesKind::mains_locked:
      return "mains";
    case SeriesKind::sideband:
      return "sideband";
    case SeriesKind::free_running:
      break;
  }
  return "free-running";
}

}  // namespace

/// What the data can and cannot support.
struct MeasurementBuilder::Trust {
  bool no_dc = false;
  bool below_zero = false;
  bool clipped = false;
  bool rate_hides_mains = false;
  bool rate_too_low = false;  ///< too few samples a cycle for extremes
  bool rate_marginal = false;
  bool too_short = false;  ///< too few cycles for any figure
  bool short_capture = false;
  bool steady = false;

  bool mean() const { return !no_dc && !below_zero && !clipped; }
  bool figures() const { return mean() && !rate_hides_mains && !rate_too_low && !too_short; }
};

const Epoch& MeasurementBuilder::longest_epoch() const {
  return *std::max_element(epochs_.begin(), epochs_.end(), [](const Epoch& a, const Epoch& b) {
    return a.duration_s() < b.duration_s();
  });
}

double MeasurementBuilder::mean_rate_hz() const {
  if (format_.evenly_sampled && format_.rate_hz) return *format_.rate_hz;
  return end_s_ > 0.0 ? static_cast<double>(samples_) / end_s_ : 0.0;
}

MeasurementBuilder::Trust MeasurementBuilder::trust_in(const ToneAnalysis& tones) const {
  Trust trust;
  const double dark = settings_.dark_level.value_or(0.0);
  const double swing = highest_ - lowest_;
  const double mean = sum_ / static_cast<double>(samples_) - dark;
  if (!settings_.mean_level) {
    const double noise = 6.0 * tones.noise_sd;
    trust.below_zero = highest_ - dark < 0.0;
    const bool negative = lowest_ - dark + noise < -0.005 * std::max(highest_ - dark, 0.0);
    const bool around_zero = mean <= 0.03 * swing && negative;
    const Tone* strongest = strongest_tone(tones);
    const double least = strongest ? 3.0 * tones.noise_sd / std::sqrt(static_cast<double>(samples_))
                                   : tones.noise_sd;
    // No light, however short its flashes, has a rhythm stronger than twice its mean.
    const bool impossible =
        strongest && strongest->amplitude > 2.0 * mean + 6.0 * strongest->amplitude_sd + least;
    trust.no_dc = !trust.below_zero && (around_zero || impossible || mean <= least);
    trust.below_zero = negative && !trust.no_dc;
  }
  trust.clipped = clipping_.high + clipping_.low > 0;
  trust.steady = tones.series.empty();
  const double rate_hz = mean_rate_hz();
  trust.rate_hides_mains = rate_hz < slowest_useful_rate_hz;
  trust.short_capture = end_s_ < good_duration_s;
  if (const Tone* strongest = strongest_tone(tones)) {
    const RhythmChoice choice = choose_rhythms(tones);
    double slowest_hz = choice.rhythms.empty() ? strongest->hz : choice.rhythms.front().hz;
    for (const Rhythm& rhythm : choice.rhythms) slowest_hz = std::min(slowest_hz, rhythm.hz);
    trust.rate_too_low = rate_hz < fewest_samples_a_cycle * strongest->hz;
    trust.rate_marginal = !trust.rate_too_low && rate_hz < good_samples_a_cycle * strongest->hz;
    trust.too_short = end_s_ * slowest_hz < fewest_cycles;
  } else {
    trust.too_short = samples_ < 64 || (end_s_ < 0.05 && !trust.rate_hides_mains);
  }
  return trust;
}

Measurement MeasurementBuilder::result(const Findings& source_findings) {
  if (samples_ < 2) {
    throw InputError(
        fmt::format("{}: holds {} sample{}; a measurement needs at least two, better "
                    "one second of them",
                    format_.name, samples_, samples_ == 1 ? "" : "s"));
  }
  const double largest = std::max(std::abs(lowest_), std::abs(highest_));
  if (largest > largest_reading || (largest > 0.0 && largest < smallest_reading)) {
    throw InputError(fmt::format(
        "{}: the readings reach {:g}, which no sensor gives; see whether the right column is read "
        "and the file is whole",
        format_.name, lowest_ < -highest_ ? lowest_ : highest_));
  }
  const Epoch& epoch = longest_epoch();
  const ToneAnalysis tones = undo(response_, epoch.whole());
  const Trust trust = trust_in(tones);
  Measurement m;
  describe_capture(m);
  relate_components(m, tones, trust);
  take_figures(m, tones, trust);
  judge_by_standards(m, trust);
  m.warnings = source_findings;
  doubt(m, tones, trust);
  m.over_time = over_time_;
  if (const auto list = present(over_time_.windows, epoch, &WindowFigures::percent_flicker);
      !list.empty()) {
    m.over_time.median_percent_flicker = median(list);
  }
  if (!trust.figures() || trust.steady) {
    m.over_time.median_percent_flicker.reset();
    m.over_time.worst_percent_flicker.reset();
    m.over_time.worst_start_s.reset();
    for (WindowFigures& w : m.over_time.windows) {
      w.percent_flicker.reset();
      w.flicker_index.reset();
    }
  }
  return m;
}

void MeasurementBuilder::describe_capture(Measurement& m) const {
  m.capture = format_.name;
  m.capture_kind = format_.kind;
  m.samples = samples_;
  m.duration_s = end_s_;
  if (mean_rate_hz() > 0.0) m.rate_hz = mean_rate_hz();
}

void MeasurementBuilder::relate_components(Measurement& m, const ToneAnalysis& tones,
                                           const Trust& trust) const {
  if (trust.rate_hides_mains) return;
  const Tone* strongest = strongest_tone(tones);
  for (const ToneSeries& series : tones.series) {
    if (series.kind == SeriesKind::mains_locked && !m.mains_hz) m.mains_hz = series.fundamental_hz;
    for (const Tone& tone : series.tones) {
      MeasuredComponent c;
      c.hz = tone.hz;
      c.hz_sd = tone.hz_sd;
      c.relative = tone.amplitude / strongest->amplitude;
      if (trust.mean() && tones.mean > 0.0) {
        c.percent = 100.0 * tone.amplitude / tones.mean;
        c.percent_sd = 100.0 * tone.amplitude_sd / tones.mean;
      }
      c.phase_deg = std::remainder(tone.phase_rad * 180.0 / std::acos(-1.0), 360.0);
      if (series.kind == SeriesKind::mains_locked) c.mains_order = tone.order;
      c.kind = kind_word(series.kind);
      m.components.push_back(c);
    }
  }
  std::stable_sort(m.components.begin(), m.components.end(),
                   [](const auto& a, const auto& b) { return a.relative > b.relative; });
  if (strongest) {
    m.dominant_hz = strongest->hz;
    m.dominant_hz_sd = strongest->hz_sd;
  }
}

void MeasurementBuilder::take_figures(Measurement& m, const ToneAnalysis& tones,
                                      const Trust& trust) const {
  const double dark = settings_.dark_level.value_or(0.0);
  const double mean = settings_.mean_level.value_or(sum_ / static_cast<double>(samples_) - dark);
  if (trust.mean()) m.mean = mean;
  if (trust.mean() && !trust.too_short && tones.mean > 0.0)
    m.noise_percent = 100.0 * tones.noise_sd / tones.mean;
  if (!trust.no_dc && !trust.below_zero) {
    const double shift =
        settings_.mean_level ? *settings_.mean_level - sum_ / static_cast<double>(samples_) : -dark;
    const double high = highest_ + shift;
    const double low = lowest_ + shift;
    if (high + low > 0.0) m.percent_flicker_raw = 100.0 * (high - low) / (high + low);
  }
  if (trust.steady && trust.mean() && !trust.rate_hides_mains && !trust.too_short &&
      tones.mean > 0.0) {
    const double hidden =
        std::max(tones.detection_floor, longest_epoch().figures.strongest_doubtful);
    m.steady_below_percent = 100.0 * hidden / tones.mean;
  }
  if (!trust.figures()) return;

  const Epoch& epoch = longest_epoch();
  const EpochFigures& figures = epoch.figures;
  const auto percents = present(over_time_.windows, epoch, &WindowFigures::percent_flicker);
  const auto indices = present(over_time_.windows, epoch, &WindowFigures::flicker_index);
  if (!percents.empty() && !trust.steady && figures.windows_with_cycle > 0) {
    // Light cannot go below nothing: what noise adds beyond 100 % is not the light's.
    m.percent_flicker = std::min(100.0, median(percents));
    m.flicker_index = median(indices);
    const double n = figures.windows_with_cycle;
    m.percent_flicker_sd = std::sqrt(figures.percent_flicker_variance) / n;
    m.flicker_index_sd = std::sqrt(figures.flicker_index_variance) / n;
    // Without noise to dither it, a converter's step hides where within it an extreme lies.
    if (tones.noise_sd < step_) {
      const double step_percent = 100.0 * step_ / tones.mean / std::sqrt(24.0);
      m.percent_flicker_sd = std::hypot(*m.percent_flicker_sd, step_percent);
    }
  }
  if (const auto& cycle = figures.typical_cycle; cycle && cycle->mean > 0.0 && !trust.steady) {
    for (const double x : cycle->shape) m.cycle_shape.push_back(x / cycle->mean);
    m.cycle_hz = figures.cycle_hz;
  }
  m.spectrum = figures.spectrum;
  for (double& a : m.spectrum.amplitude) a *= 100.0 / tones.mean;
  for (double& a : m.spectrum.floor) a *= 100.0 / tones.mean;
}

void MeasurementBuilder::judge_by_standards(Measurement& m, const Trust& trust) const {
  const EpochFigures& epoch = longest_epoch().figures;
  if (trust.mean() && !trust.rate_hides_mains && !trust.too_short && response_.flat()) {
    for (std::size_t i = 0; i < epoch.filtered.size(); ++i) {
      if (epoch.filtered[i]) m.lowpass_percent[i] = epoch.lowpass_percent[i];
    }
  }
  if (trust.figures()) {
    const bool known = !trust.steady || (m.steady_below_percent && *m.steady_below_percent < 1.0);
    if (known) m.svm = svm(light_from(m));
    if (pst_ && pst_possible_) m.pst_lm = pst_->pst();
    if (m.percent_flicker && m.dominant_hz) m.ieee = ieee1789(*m.percent_flicker, *m.dominant_hz);
  }
  StandardFigures figures;
  figures.percent_flicker = m.percent_flicker;
  figures.dominant_hz = m.dominant_hz;
  figures.svm = m.svm;
  figures.pst_lm = m.pst_lm;
  figures.below_200_percent = m.lowpass_percent[2];
  m.standards = standard_verdicts(figures);
}

void MeasurementBuilder::doubt(Measurement& m, const ToneAnalysis& tones,
                               const Trust& trust) const {
  const auto say = [&](Finding finding) { m.warnings.push_back(std::move(finding)); };
  const double rate_hz = mean_rate_hz();
  const auto n = static_cast<double>(samples_);
  if (trust.no_dc) say(honesty::no_dc_level(format_.sound_file));
  if (trust.below_zero) {
    const double dark = settings_.dark_level.value_or(0.0);
    say(highest_ < dark
            ? honesty::reads_only_below_zero(settings_.dark_level.has_value())
            : honesty::reads_below_zero(100.0 * (lowest_ - dark) / std::abs(tones.mean)));
  }
  if (trust.clipped) {
    say(honesty::clipped(100.0 * static_cast<double>(clipping_.high) / n,
                         100.0 * static_cast<double>(clipping_.low) / n));
  }
  const double slowest_hz = [&] {
    const RhythmChoice choice = choose_rhythms(tones);
    return choice.rhythms.empty() ? 100.0 : choice.rhythms.front().hz;
  }();
  if (trust.rate_hides_mains) {
    say(honesty::rate_hides_mains(rate_hz));
  } else if (trust.rate_too_low || trust.rate_marginal) {
    say(honesty::rate_too_low(rate_hz, *m.dominant_hz, !trust.rate_too_low));
  }
  const bool no_cycle = trust.figures() && !trust.steady && !m.percent_flicker;
  if (trust.too_short || trust.short_capture || no_cycle) {
    say(honesty::too_short(end_s_, end_s_ * slowest_hz, !trust.too_short && !no_cycle));
  }
  if (!all_even_ && jitter_percent_ > uneven_from_percent) {
    say(honesty::uneven_sampling(jitter_percent_));
  }
  if (tones.alias_suspected) say(honesty::alias_suspected(rate_hz));
  if (m.steady_below_percent) say(honesty::steady(*m.steady_below_percent, rate_hz / 2.0));
  if (const EpochFigures& epoch = longest_epoch().figures; epoch.unrelated_rhythms > 1) {
    say(honesty::several_rhythms(epoch.unrelated_rhythms, epoch.left_out_percent));
  }
  const double drift_percent = trust.mean() && highest_mean_ > 0.0
                                   ? 100.0 * (highest_mean_ - lowest_mean_) / highest_mean_
                                   : 0.0;
  const double window_samples =
      n / static_cast<double>(std::max<std::size_t>(1, over_time_.windows.size()));
  const double mean_sd_percent =
      highest_mean_ > 0.0 ? 100.0 * tones.noise_sd / highest_mean_ / std::sqrt(window_samples)
                          : 0.0;
  if (drift_percent > std::max(drift_from_percent, 8.0 * mean_sd_percent)) {
    say(honesty::level_drift(lowest_mean_, highest_mean_, drift_percent));
  }
  if (first_change_s_) say(honesty::light_changed(*first_change_s_));
  if (const auto lead = longest_epoch().lead_frequency();
      lead && lead->wanders && lead->wander_hz > wander_from_hz) {
    say(honesty::frequency_wanders(lead->wander_hz));
  }
  for (const MeasuredComponent& c : m.components) {
    if (c.mains_order == 1 && c.percent && *c.percent > half_cycles_from_percent) {
      say(honesty::mains_half_cycles(*c.percent, c.hz));
    }
  }
  if (!response_.flat()) say(honesty::from_components());
  if (m.ieee && m.dominant_hz_sd && std::abs(*m.dominant_hz - 90.0) <= 2.0 * *m.dominant_hz_sd) {
    say(honesty::near_level_boundary(*m.dominant_hz));
  }
  if (m.pst_lm) {
    say(pst_scale_note());
  } else if (trust.figures() && std::any_of(m.components.begin(), m.components.end(), [](auto& c) {
               return c.hz < slow_below_hz && c.percent.value_or(0.0) >= slow_from_percent;
             })) {
    say(honesty::pst_needs_length(end_s_));
  }
  // Without low-pass percentages there is nothing whose conditions could matter.
  if (m.lowpass_percent.back()) {
    for (Finding& finding : ja10_conditions(rate_hz, end_s_)) say(std::move(finding));
  }
  if (!settings_.dark_level && trust.mean() && !settings_.mean_level) {
    say(honesty::dark_level_unknown());
  }
}

Light light_from(const Measurement& m) {
  if (!m.mean) {
    throw InputError(
        m.capture + ": its light cannot be described without a trusted mean level (" +
        (m.warnings.empty() ? std::string("see the warnings") : m.warnings.front().code) +
        "); record again, or give --mean or --dark");
  }
  if (m.components.empty() && !m.steady_below_percent) {
    throw InputError(m.capture +
                     ": too slow or too short a recording to know this light's rhythm from; record "
                     "at least a second at 2000, better 20000 samples a second");
  }
  Light light;
  // People know a light by its name, not by the folder its capture lies in.
  const std::size_t slash = m.capture.rfind('/') + 1;
  const std::size_t dot = m.capture.rfind('.');
  light.name = m.capture.substr(slash, dot > slash ? dot - slash : std::string::npos);
  if (light.name.empty()) light.name = m.capture;
  light.source = "measured from " + m.capture;
  light.mains_hz = m.mains_hz;
  light.noise_percent = m.steady_below_percent.value_or(0.0);
  for (const MeasuredComponent& c : m.components) {
    if (!c.percent) continue;
    light.components.push_back(
        {c.hz, *c.percent / 100.0, c.phase_deg * std::acos(-1.0) / 180.0, c.mains_order});
  }
  light.findings = m.warnings;
  return light;
}

}  // namespace lampbeat
