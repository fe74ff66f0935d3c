#include "reasoning/bands/residue.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <utility>

#include "lampbeat/banding.hpp"
#include "reasoning/bands/flash_train.hpp"
#include "reasoning/bands/gains.hpp"
#include "reasoning/bands/lags.hpp"

namespace lampbeat::reasoning::bands {
namespace {

/// Of a light of any waveform the weakest harmonic may be what shows, and all are kept.
template <typename Gains>
mixture::Series scaled(double hz, std::span<const mixture::Harmonic> harmonics, bool any_waveform,
                       Gains gains) {
  const double negligible_power =
      any_waveform ? 0.0 : negligible_modulation * negligible_modulation;
  mixture::Series left;
  left.hz = hz;
  left.any_waveform = any_waveform;
  left.harmonics.reserve(harmonics.size());
  for (const mixture::Harmonic& h : harmonics) {
    const std::complex<double> amplitude = product(h.amplitude, gains.at(h.order));
    if (std::norm(amplitude) >= negligible_power) left.harmonics.push_back({h.order, amplitude});
  }
  return left;
}

/// As if there were a row at every moment: what the steps from row to row add is in `swing`.
mixture::Series frame_mean_of_flashes(const mixture::Series& rows, const Shot& shot) {
  constexpr int fine = 1 << 20;
  Shot at_every_moment = shot;
  at_every_moment.rows = std::max(shot.rows, fine);
  mixture::Series left =
      scaled(rows.hz, rows.harmonics, true, FrameMeanGains(rows.hz, at_every_moment));
  if (alias_hz(rows.hz, shot.fps) == 0.0) return left;  // every frame sees the same
  const double beyond = beyond_harmonics(rows.swing, rows.hz * shot.readout_s, shot.rows,
                                         mixture::highest_order(rows.harmonics));
  left.swing = {beyond, beyond};
  return left;
}

}  // namespace

void add_exposed(std::vector<mixture::Series>& rows, double hz,
                 std::span<const mixture::Harmonic> harmonics, bool any_waveform,
                 double exposure_s) {
  mixture::Series left = scaled(hz, harmonics, any_waveform, ExposureGains(hz, exposure_s));
  if (any_waveform) {
    const double share = share_of_flashes(harmonics);
    const mixture::Swing all = swing_of_flashes(hz * exposure_s);
    left.swing = {share * all.up, share * all.down};
    if (all.up + all.down <= 0.0) return;
  }
  if (!left.harmonics.empty()) rows.push_back(std::move(left));
}

std::vector<mixture::Series> after_exposure(std::span<const mixture::Series> rhythms,
                                            double exposure_s) {
  std::vector<mixture::Series> rows;
  rows.reserve(rhythms.size());
  for (const mixture::Series& r : rhythms)
    add_exposed(rows, r.hz, r.harmonics, r.any_waveform, exposure_s);
  return rows;
}

std::vector<mixture::Series> after_frame_mean(std::span<const mixture::Series> rows,
                                              const Shot& shot) {
  std::vector<mixture::Series> frames;
  frames.reserve(rows.size());
  for (const mixture::Series& r : rows) {
    if (r.any_waveform) {
      frames.push_back(frame_mean_of_flashes(r, shot));
      continue;
    }
    mixture::Series left = scaled(r.hz, r.harmonics, false, FrameMeanGains(r.hz, shot));
    if (!left.harmonics.empty()) frames.push_back(std::move(left));
  }
  return frames;
}

SamplePair widest_of_samples(std::span<const mixture::Series> rhythms, int samples,
                             double spacing_s, Effort effort) {
  return widest_pair(rhythms, lags_kept(samples - 1, parameters_of(effort).most_lags), spacing_s,
                     effort);
}

SamplePair widest_in_frame(std::span<const mixture::Series> rows, const Shot& shot, Effort effort) {
  return widest_of_samples(rows, shot.rows, shot.readout_s / shot.rows, effort);
}

SamplePair widest_in_clip(std::span<const mixture::Series> frames, FrameRate fps, Effort effort) {
  constexpr double most_frames = 1e8;  // far beyond any clip, and still a whole number
  const double frames_in_clip = std::ceil(clip_s * fps.per_s());
  const int last_frame = static_cast<int>(std::min(frames_in_clip, most_frames));
  return widest_of_samples(frames, last_frame + 1, fps.frame_s(), effort);
}

}  // namespace lampbeat::reasoning::bands
