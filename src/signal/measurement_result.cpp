#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "lampbeat/error.hpp"
#include "signal/honesty.hpp"
#include "signal/measurement_builder.hpp"
#include "signal/reconstruction.hpp"
#include "signal/whole_cycle.hpp"

// The second half of the builder: from sums and lists to figures, each given or withheld.

namespace lampbeat {

namespace {

constexpr double largest_reading = 1e100;  ///< beyond these, squares overflow
constexpr double smallest_reading = 1e-100;

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

const Epoch& MeasurementBuilder::longest_epoch() const {
  return *std::max_element(epochs_.begin(), epochs_.end(), [](const Epoch& a, const Epoch& b) {
    return a.duration_s() < b.duration_s();
  });
}

double MeasurementBuilder::mean_rate_hz() const {
  if (format_.evenly_sampled && format_.rate_hz) return *format_.rate_hz;
  return end_s_ > 0.0 ? static_cast<double>(samples_) / end_s_ : 0.0;
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
  const ToneAnalysis in_windows = undo(response_, epoch.whole());
  const signal::LeftOver left = left_over_in(in_windows);
  const ToneAnalysis tones = signal::with_whole_capture(in_windows, left);
  MeasurementTrust trust = trust_in(tones);
  judge_left_over(trust, tones, left);
  Measurement m;
  describe_capture(m);
  relate_components(m, tones, trust);
  take_figures(m, tones, trust);
  take_left_over(m, tones, left, trust);
  judge_by_standards(m, trust);
  m.warnings = source_findings;
  doubt_left_over(m, tones, left, trust);
  doubt(m, tones, trust);
  m.over_time = over_time_;
  if (const auto list = present(over_time_.windows, epoch, &WindowFigures::percent_flicker);
      !list.empty()) {
    m.over_time.median_percent_flicker = median(list);
  }
  if (!trust.figures() || trust.steady || left.few || left.slow) {
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
                                           const MeasurementTrust& trust) const {
  if (trust.rate_hides_mains) return;
  const Tone* strongest = strongest_tone(tones);
  for (const ToneSeries& series : tones.series) {
    if (series.kind == SeriesKind::mains_locked && !m.mains_hz) m.mains_hz = series.fundamental_hz;
    for (const Tone& tone : series.tones) {
      MeasuredComponent c;
      c.hz = tone.hz;
      c.hz_sd = tone.hz_sd;
      c.relative = tone.amplitude / strongest->amplitude;
      if (trust.mean() && !trust.frequency_only && tones.mean > 0.0) {
        c.percent = 100.0 * tone.amplitude / tones.mean;
        c.percent_sd = 100.0 * tone.amplitude_sd / tones.mean;
      }
      c.phase_deg = std::remainder(tone.phase_rad * 180.0 / std::acos(-1.0), 360.0);
      if (series.kind == SeriesKind::mains_locked) c.mains_order = tone.order;
      c.kind = kind_word(series.kind);
      (tone.hz > mean_rate_hz() / 2.0 ? m.inferred_components : m.components).push_back(c);
    }
  }
  for (auto* list : {&m.components, &m.inferred_components}) {
    std::stable_sort(list->begin(), list->end(),
                     [](const auto& a, const auto& b) { return a.relative > b.relative; });
  }
  if (strongest) {
    m.dominant_hz = strongest->hz;
    m.dominant_hz_sd = strongest->hz_sd;
  }
}

void MeasurementBuilder::take_figures(Measurement& m, const ToneAnalysis& tones,
                                      const MeasurementTrust& trust) const {
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
  if (trust.steady && !trust.unexplained && trust.mean() && !trust.rate_hides_mains &&
      !trust.too_short && tones.mean > 0.0) {
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

void MeasurementBuilder::judge_by_standards(Measurement& m, const MeasurementTrust& trust) const {
  const EpochFigures& epoch = longest_epoch().figures;
  if (trust.mean() && !trust.rate_hides_mains && !trust.frequency_only && !trust.too_short &&
      response_.flat()) {
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

}  // namespace lampbeat
