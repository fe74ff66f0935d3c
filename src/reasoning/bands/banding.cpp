#include "lampbeat/banding.hpp"
#include "arithmetic/alias.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>

#include "lampbeat/exposure.hpp"
#include "reasoning/bands/residue.hpp"

namespace lampbeat {
namespace reasoning {
namespace {

/// More frames or rows than this are sampled; the choice is finer than any pattern needs.
constexpr int most_lags = 1200;
constexpr int few_lags = 160;

template <typename Gain>
std::vector<Rhythm> scaled(std::span<const Rhythm> rhythms, Gain gain) {
  std::vector<Rhythm> left;
  for (const Rhythm& rhythm : rhythms) {
    Rhythm kept{rhythm.hz, {}};
    for (const Harmonic& h : rhythm.harmonics) {
      const std::complex<double> amplitude = h.amplitude * gain(h.order * rhythm.hz);
      if (std::abs(amplitude) >= negligible_modulation)
        kept.harmonics.push_back({h.order, amplitude});
    }
    if (!kept.harmonics.empty()) left.push_back(std::move(kept));
  }
  return left;
}

int lag_limit(Effort effort) { return effort == Effort::full ? most_lags : few_lags; }

}  // namespace

std::vector<Rhythm> after_exposure(std::span<const Rhythm> rhythms, double exposure_s) {
  return scaled(rhythms, [&](double hz) {
    return exposure_gain(hz, exposure_s) *
           std::polar(1.0, std::numbers::pi * std::fmod(hz * exposure_s, 2.0));
  });
}

std::vector<Rhythm> after_frame_mean(std::span<const Rhythm> rows, const Shot& shot) {
  return scaled(rows, [&](double hz) { return frame_mean_gain(hz, shot.readout_s, shot.rows); });
}

double contrast_in_frame(std::span<const Rhythm> rows, const Shot& shot, Effort effort) {
  const std::vector<int> lags = lags_up_to(shot.rows - 1, lag_limit(effort));
  return greatest_contrast(rows, lags, shot.readout_s / shot.rows, effort);
}

double contrast_in_clip(std::span<const Rhythm> frames, FrameRate fps, Effort effort) {
  const double frames_in_clip = std::ceil(clip_s * fps.per_s());
  const std::vector<int> lags =
      lags_up_to(static_cast<int>(std::min(frames_in_clip, 1e8)), lag_limit(effort));
  return greatest_contrast(frames, lags, fps.frame_s(), effort);
}

}  // namespace reasoning

std::vector<RemainingRhythm> remaining_rhythms(std::span<const LightShare> lights,
                                               double exposure_s) {
  std::vector<RemainingRhythm> left;
  for (const LightShare& l : reasoning::with_normal_shares(lights)) {
    for (const LightComponent& c : l.light.components) {
      const double amplitude = l.share * c.amplitude * std::abs(exposure_gain(c.hz, exposure_s));
      if (amplitude < negligible_modulation) continue;
      const auto same = std::find_if(left.begin(), left.end(), [&](const RemainingRhythm& r) {
        return std::abs(r.hz - c.hz) <= 1e-9 * c.hz;
      });
      if (same == left.end()) {
        left.push_back({c.hz, amplitude});
      } else {
        same->amplitude += amplitude;
      }
    }
  }
  std::stable_sort(
      left.begin(), left.end(),
      [](const RemainingRhythm& a, const RemainingRhythm& b) { return a.amplitude > b.amplitude; });
  return left;
}

double alias_hz(double hz, FrameRate fps) {
  const double alias =
      arithmetic::alias_hz(hz, arithmetic::RationalRate{static_cast<double>(fps.numerator),
                                                        static_cast<double>(fps.denominator)});
  // Rounding of the frequency itself is not a beat.
  return std::abs(alias) < 1e-12 * hz ? 0.0 : alias;
}

double bands_down_the_picture(double hz, const Shot& shot) {
  // cycles from row to row, folded to the nearest whole number of them
  const double from_row_to_row = std::remainder(hz * shot.readout_s / shot.rows, 1.0);
  return from_row_to_row * shot.rows;
}

double band_contrast(std::span<const LightShare> lights, const Shot& shot) {
  const auto rhythms = reasoning::rhythms_of(reasoning::with_normal_shares(lights));
  return reasoning::contrast_in_frame(reasoning::after_exposure(rhythms, shot.exposure_s), shot,
                                      reasoning::Effort::full);
}

double pulse_contrast(std::span<const LightShare> lights, const Shot& shot) {
  const auto rhythms = reasoning::rhythms_of(reasoning::with_normal_shares(lights));
  const auto rows = reasoning::after_exposure(rhythms, shot.exposure_s);
  return reasoning::contrast_in_clip(reasoning::after_frame_mean(rows, shot), shot.fps,
                                     reasoning::Effort::full);
}

}  // namespace lampbeat
