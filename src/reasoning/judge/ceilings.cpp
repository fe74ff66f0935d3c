#include "reasoning/judge/ceilings.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

#include "lampbeat/banding.hpp"
#include "lampbeat/visibility.hpp"
#include "reasoning/bands/flash_train.hpp"
#include "reasoning/bands/recorded.hpp"
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

/// Of order k an exposure of u cycles leaves a_k |sin πku| / (πku), and since |sin mx| <= m |sin
/// x|, of a divisor j of k at least a_j / a_k times as much: a line is never the strongest that is
/// left where one of such an order is stronger in the light itself.
bool led_by_another(const mixture::Harmonic& line, const std::vector<mixture::Harmonic>& series) {
  constexpr double surely = 1.0 + 1e-6;
  return std::any_of(series.begin(), series.end(), [&](const mixture::Harmonic& other) {
    return other.order < line.order && line.order % other.order == 0 &&
           std::abs(other.amplitude) > surely * std::abs(line.amplitude);
  });
}

}  // namespace

Ceilings::Ceilings(const Scene& scene, const Judge& judge, const std::vector<FrameRate>& rates)
    : judge_(judge), rates_(rates), any_waveform_(scene.any_waveform()) {
  for (const MovingSeries& r : scene.rhythms) {
    const Clock& clock = scene.clocks[r.clock];
    const double side = std::abs(r.side_hz) * scene.clocks[0].high;
    const std::size_t first_line = lines_.size();
    for (const mixture::Harmonic& h : r.harmonics) {
      if (std::abs(h.amplitude) < negligible_modulation) continue;
      Line line;
      line.amplitude = std::abs(h.amplitude);
      // Lines of another rhythm may fall on it and add to it.
      line.led = scene.rhythms.size() == 1 && led_by_another(h, r.harmonics);
      line.low_hz = h.order * (r.own_hz * (1.0 + clock.low) + r.side_hz - side);
      line.high_hz = h.order * (r.own_hz * (1.0 + clock.high) + r.side_hz + side);
      for (const FrameRate fps : rates) {
        const Shot shot = judge.shot(1.0, fps);
        line.frame_mean.push_back(
            most_of_frame_mean(line.low_hz, line.high_hz, shot.readout_s, shot.rows));
      }
      line.weight.resize(rates.size());
      line.pulse_weight.resize(rates.size());
      lines_.push_back(std::move(line));
    }
    reaches_.push_back({r.own_hz * (1.0 + clock.low) + r.side_hz - side,
                        r.own_hz * (1.0 + clock.high) + r.side_hz + side, &r.swing, first_line,
                        lines_.size(), r.any_waveform ? mixture::highest_order(r.harmonics) : 0,
                        std::vector<std::optional<double>>(rates.size())});
  }
}

Shot Ceilings::shot_at(std::size_t rate) const {
  return judge_.shot(rates_[rate].frame_s(), rates_[rate]);
}

double Ceilings::band_weight(Line& line, std::size_t rate) {
  std::optional<double>& known = line.weight[rate];
  if (!known) {
    known = between_samples *
            judge_.weights().highest_of_bands(line.low_hz, line.high_hz, shot_at(rate));
  }
  return *known;
}

double Ceilings::pulse_weight(Line& line, std::size_t rate) {
  std::optional<double>& known = line.pulse_weight[rate];
  if (!known) {
    known = between_samples *
            judge_.weights().highest_of_pulsing(line.low_hz, line.high_hz, shot_at(rate));
  }
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

/// What frames may hold of flashes of no length beyond the lines of such lights.
double Ceilings::pulsing_beyond_lines(double from_s, double to_s, std::size_t rate) const {
  if (!any_waveform_) return 0.0;
  const Shot shot = shot_at(rate);
  double beyond = 0.0;
  for (const Reach& reach : reaches_) {
    if (reach.flashes_told == 0) continue;
    const double one_flash = reach.swing->over(reach.low_hz * from_s, reach.high_hz * to_s).both;
    for (const double hz : {reach.low_hz, reach.high_hz}) {
      beyond += 2.0 * bands::beyond_harmonics({one_flash, 0.0}, std::max(0.0, hz) * shot.readout_s,
                                              shot.rows, reach.flashes_told);
    }
  }
  return beyond;
}

/// Of one line, for each unit of contrast among all rows there could be.
double Ceilings::weight_anyway(Line& line, std::size_t rate) {
  const FrameRate fps = rates_[rate];
  const Shot shot = judge_.shot(fps.frame_s(), fps);
  if (shot.readout_s > 0.0) {
    const double in_frame = std::min(0.5, line.low_hz * shot.readout_s);
    return std::sin(std::numbers::pi * in_frame) * band_weight(line, rate);
  }
  // All rows are one: the frames pulse, at some clock as visibly as at any.
  if (line.high_hz - line.low_hz > fps.per_s()) return pulse_weight(line, rate);
  const auto at = [&](double hz) {
    return bands::share_in_clip(hz, fps) * judge_.weights().pulsing(1.0, hz, shot);
  };
  return std::max(at(line.low_hz), at(line.high_hz));
}

double Ceilings::least_weight_anyway(const Reach& reach, std::size_t rate) {
  constexpr double strong = 0.6;  // of the strongest: weaker lines are not what shows
  // Between its nulls an exposure leaves of a line as much less as it is faster.
  const auto left = [](const Line& line) { return line.amplitude / line.high_hz; };
  double strongest = 0.0;
  for (std::size_t i = reach.first_line; i < reach.last_line; ++i) {
    strongest = std::max(strongest, left(lines_[i]));
  }
  std::optional<double> least;
  for (std::size_t i = reach.first_line; i < reach.last_line; ++i) {
    if (left(lines_[i]) < strong * strongest) continue;
    const double weight = weight_anyway(lines_[i], rate);
    least = std::min(least.value_or(weight), weight);
  }
  return least.value_or(0.0);
}

double Ceilings::shown_anyway(double from_s, double to_s, std::size_t rate) {
  constexpr double cautious = 0.5;  // bounds and weights may be higher than what is there
  double most = 0.0;
  for (Reach& reach : reaches_) {
    if (!(reach.low_hz > 0.0)) continue;
    std::optional<double>& weight = reach.weight_anyway[rate];
    if (!weight) weight = least_weight_anyway(reach, rate);
    // What every one of the exposures holds with some clock; or else what one clock leaves of them.
    const double low = reach.low_hz * to_s;
    const double high = reach.high_hz * from_s;
    const double contrast = low < high ? reach.swing->over(low, high).contrast
                                       : reach.swing->least_contrast(reach.low_hz * from_s, low);
    most = std::max(most, cautious * contrast * *weight);
  }
  return most;
}

double Ceilings::steepest(std::size_t rate) {
  double light = 0.0;
  for (const Reach& reach : reaches_) light += reach.swing->of_the_light();
  const bool rolls = judge_.shot(rates_[rate].frame_s(), rates_[rate]).readout_s > 0.0;
  double weight = 0.0;
  for (Line& line : lines_) {
    weight = std::max(weight, line.frame_mean[rate] * pulse_weight(line, rate));
    if (rolls) weight = std::max(weight, band_weight(line, rate));
  }
  return light * weight;
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
  pulse += pulsing_beyond_lines(from_s, to_s, rate);
  // Frames are means of rows, and differ by no more than rows do.
  pulse = std::min({1.0, last_contrast_, pulse});
  double highest = pulse * judge_.weights().most_pulsing();
  if (highest >= clean_below) {
    double weight = 0.0;
    for (const Left& left : last_left_) {
      if (left.most * left.line->frame_mean[rate] <= 0.0) continue;
      weight = std::max(weight, pulse_weight(*left.line, rate));
    }
    highest = pulse * weight;
  }
  if (!(judge_.shot(from_s, rates_[rate]).readout_s > 0.0)) return highest;
  const double most_band_weight = judge_.weights().most_bands();
  // Where line k is the strongest no other is above it: no more is left than Σ min(left, left of
  // k).
  double above = 0.0;
  for (const Left& left : last_sorted_) {
    const double if_strongest = left.line->led ? left.most : all + above * left.most;
    const double together =
        any_waveform_ ? last_contrast_ : std::min({1.0, last_contrast_, if_strongest});
    all -= left.most;
    above += 1.0;
    if (together * most_band_weight <= highest) continue;
    highest = std::max(highest, together * band_weight(*left.line, rate));
  }
  return highest;
}

}  // namespace lampbeat::reasoning::judge
