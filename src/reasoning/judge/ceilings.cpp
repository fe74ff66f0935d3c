#include "reasoning/judge/ceilings.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

#include "lampbeat/banding.hpp"
#include "lampbeat/visibility.hpp"
#include "reasoning/judge/gain_bound.hpp"

namespace lampbeat::reasoning::judge {
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
  for (const MovingSeries& r : scene.rhythms) {
    const Clock& clock = scene.clocks[r.clock];
    const double side = std::abs(r.side_hz) * scene.clocks[0].high;
    reaches_.push_back({r.own_hz * (1.0 + clock.low) + r.side_hz - side,
                        r.own_hz * (1.0 + clock.high) + r.side_hz + side, &r.swing});
    for (const mixture::Harmonic& h : r.harmonics) {
      if (std::abs(h.amplitude) < negligible_modulation) continue;
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
}

double Ceilings::band_weight(Line& line, std::size_t rate) {
  std::optional<double>& known = line.weight[rate];
  if (known) return *known;
  const FrameRate fps = rates_[rate];
  const Shot shot = judge_.shot(fps.frame_s(), fps);
  known = between_samples * judge_.weights().highest_of_bands(line.low_hz, line.high_hz, shot);
  return *known;
}

double Ceilings::rows_contrast(double from_s, double to_s) const {
  Swing swing;
  double both = 0.0;
  double contrast = 1.0;
  for (const Reach& reach : reaches_) {
    const SwingTable::Bound bound = reach.swing->over(reach.low_hz * from_s, reach.high_hz * to_s);
    swing.up += bound.each.up;
    swing.down += bound.each.down;
    both += bound.both;
    contrast = bound.contrast;
  }
  if (reaches_.size() == 1) return contrast;
  if (swing.down >= 1.0) return 1.0;
  return std::min({1.0, contrast_of(swing), both / (2.0 - 2.0 * swing.down)});
}

void Ceilings::expose(double from_s, double to_s) {
  if (from_s == last_from_s_ && to_s == last_to_s_) return;
  last_from_s_ = from_s;
  last_to_s_ = to_s;
  last_contrast_ = rows_contrast(from_s, to_s);
  last_left_.clear();
  for (Line& line : lines_) {
    const double most = line.amplitude * greatest_gain(line.low_hz * from_s, line.high_hz * to_s);
    last_left_.push_back({most, &line});
  }
  last_sorted_ = last_left_;
  std::sort(last_sorted_.begin(), last_sorted_.end(), [](const Left& a, const Left& b) {
    return std::pair(a.most, a.line) > std::pair(b.most, b.line);
  });
}

double Ceilings::visibility(double from_s, double to_s, std::size_t rate) {
  expose(from_s, to_s);
  double all = 0.0;
  double pulse = 0.0;
  for (const Left& left : last_left_) {
    all += left.most;
    pulse += left.most * left.line->frame_mean[rate];
  }
  double highest = std::min(1.0, pulse) * judge_.weights().most_pulsing();
  if (!(judge_.shot(from_s, rates_[rate]).readout_s > 0.0)) return highest;
  const double most_band_weight = judge_.weights().most_bands();
  // Where line k is the strongest no other is above it: no more is left than Σ min(left, left of
  // k).
  double above = 0.0;
  for (const Left& left : last_sorted_) {
    const double together = std::min({1.0, last_contrast_, all + above * left.most});
    all -= left.most;
    above += 1.0;
    if (together * most_band_weight <= highest) continue;
    highest = std::max(highest, together * band_weight(*left.line, rate));
  }
  return highest;
}

}  // namespace lampbeat::reasoning::judge
