#include "reasoning/judge/ceilings.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "lampbeat/visibility.hpp"
#include "reasoning/bands/recorded.hpp"
#include "reasoning/judge/gain_bound.hpp"
#include "reasoning/judge/lone_line.hpp"

namespace lampbeat::reasoning {
namespace {

/// Between the frequencies a weight is sampled at it may be a little higher.
constexpr double between_samples = 1.05;

/// The mean of rows spread over the readout keeps at most this of a line, anywhere in its range.
double most_of_frame_mean(double low_hz, double high_hz, double readout_s, int rows) {
  const double low = low_hz * readout_s / rows;
  const double high = high_hz * readout_s / rows;
  if (std::floor(low) != std::floor(high) || high <= 0.0) return 1.0;
  const double sine = std::min(std::abs(std::sin(std::numbers::pi * low)),
                               std::abs(std::sin(std::numbers::pi * high)));
  return std::min(1.0, 1.0 / (rows * std::max(sine, 1e-12)));
}

}  // namespace

Ceilings::Ceilings(const Scene& scene, const Judge& judge, const std::vector<FrameRate>& rates)
    : judge_(judge), rates_(rates) {
  constexpr double negligible = 1e-6;
  for (const MovingRhythm& r : scene.rhythms) {
    const Clock& clock = scene.clocks[r.clock];
    const double side = std::abs(r.side_hz) * scene.clocks[0].high;
    series_.push_back({r.own_hz * (1.0 + clock.low) + r.side_hz - side,
                       r.own_hz * (1.0 + clock.high) + r.side_hz + side, &r.swing});
    for (const Harmonic& h : r.harmonics) {
      if (std::abs(h.amplitude) < negligible) continue;
      Line line;
      line.amplitude = std::abs(h.amplitude);
      line.low_hz = h.order * (r.own_hz * (1.0 + clock.low) + r.side_hz - side);
      line.high_hz = h.order * (r.own_hz * (1.0 + clock.high) + r.side_hz + side);
      for (const FrameRate fps : rates) {
        const Shot shot = judge.shot(1.0, fps);
        line.frame_mean.push_back(
            most_of_frame_mean(line.low_hz, line.high_hz, shot.readout_s, shot.rows));
      }
      line.weight.resize(rates.size());
      lines_.push_back(std::move(line));
    }
  }
  for (const FrameRate fps : rates) {
    constexpr int samples = 24;
    const Shot shot = judge.shot(fps.frame_s(), fps);
    double band = 0.0;
    double pulse = 0.0;
    for (int i = 0; i <= samples; ++i) {
      const double beat_hz = fps.per_s() * i / (2.0 * samples);
      pulse = std::max(pulse, pulsing_of_line(1.0, std::max(beat_hz, 1e-3), shot, judge.viewing()));
      // Bands are the more visible the coarser they are, down to where the weights level off.
      for (const double bands : {0.3, 1.0, 2.0, 4.0, 8.0, 16.0}) {
        if (!(shot.readout_s > 0.0)) break;
        const double near_hz = bands / shot.readout_s;
        const double hz = fps.per_s() * std::round(near_hz / fps.per_s()) + beat_hz;
        band = std::max(band, bands_of_line(1.0, hz, shot, judge.viewing()));
      }
    }
    most_band_weight_.push_back(2.0 * band);
    most_pulse_weight_.push_back(between_samples * pulse);
  }
}

double Ceilings::band_weight(Line& line, std::size_t rate) {
  std::optional<double>& known = line.weight[rate];
  if (known) return *known;
  const FrameRate fps = rates_[rate];
  const Shot shot = judge_.shot(fps.frame_s(), fps);
  const double range_hz = line.high_hz - line.low_hz;
  const int samples = static_cast<int>(std::clamp(12.0 * range_hz / fps.per_s(), 4.0, 48.0));
  double weight = 0.0;
  for (int i = 0; i <= samples; ++i) {
    weight = std::max(
        weight, bands_of_line(1.0, line.low_hz + range_hz * i / samples, shot, judge_.viewing()));
  }
  known = between_samples * weight;
  return *known;
}

double Ceilings::rows_contrast(double from_s, double to_s) const {
  Swing swing;
  double both = 0.0;
  double contrast = 1.0;
  for (const Series& series : series_) {
    const SwingTable::Bound bound =
        series.swing->over(series.low_hz * from_s, series.high_hz * to_s);
    swing.up += bound.each.up;
    swing.down += bound.each.down;
    both += bound.both;
    contrast = bound.contrast;
  }
  if (series_.size() == 1) return contrast;
  if (swing.down >= 1.0) return 1.0;
  return std::min({1.0, contrast_of(swing), both / (2.0 - 2.0 * swing.down)});
}

double Ceilings::visibility(double from_s, double to_s, std::size_t rate) {
  if (from_s != last_from_s_ || to_s != last_to_s_) {
    last_from_s_ = from_s;
    last_to_s_ = to_s;
    last_contrast_ = rows_contrast(from_s, to_s);
  }

  std::vector<std::pair<double, Line*>> left;
  double all = 0.0;
  double pulse = 0.0;
  for (Line& line : lines_) {
    const double most = line.amplitude * greatest_gain(line.low_hz * from_s, line.high_hz * to_s);
    left.push_back({most, &line});
    all += most;
    pulse += most * line.frame_mean[rate];
  }
  double highest = std::min(1.0, pulse) * most_pulse_weight_[rate];
  if (!(judge_.shot(from_s, rates_[rate]).readout_s > 0.0)) return highest;
  std::sort(left.rbegin(), left.rend());
  // Where line k is the strongest no other is above it: no more is left than Σ min(left, left of
  // k).
  double above = 0.0;
  for (const auto& [most, line] : left) {
    const double together = std::min({1.0, last_contrast_, all + above * most});
    all -= most;
    above += 1.0;
    if (together * most_band_weight_[rate] <= highest) continue;
    highest = std::max(highest, together * band_weight(*line, rate));
  }
  return highest;
}

}  // namespace lampbeat::reasoning
