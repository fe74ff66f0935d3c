#include "reasoning/judge/look_ceilings.hpp"

#include <algorithm>

#include "lampbeat/banding.hpp"
#include "lampbeat/visibility.hpp"
#include "reasoning/bands/gains.hpp"

namespace lampbeat::reasoning::judge {

LookCeilings::LookCeilings(const Scene& scene, const Shot& shot, const Weights& weights)
    : scene_(scene),
      shot_(shot),
      weights_(weights),
      most_bands_(weights.most_bands(shot)),
      most_pulsing_(weights.most_pulsing(shot.fps)),
      remains_(scene.rhythms.size()) {}

LookCeilings::Remains& LookCeilings::remains_of(std::size_t rhythm, double hz) {
  Remains& left = remains_[rhythm];
  if (left.hz == hz) return left;
  left.hz = hz;
  left.swing = {};
  left.pulse = 0.0;
  left.rows.clear();
  left.frames.clear();
  if (!(hz > 0.0)) return left;
  const MovingSeries& r = scene_.rhythms[rhythm];
  left.swing = r.swing.at(hz * shot_.exposure_s);
  bands::ExposureGains rows_gain(hz, shot_.exposure_s);
  bands::FrameMeanGains frames_gain(hz, shot_);
  for (std::size_t i = 0; i < r.harmonics.size(); ++i) {
    const int order = r.harmonics[i].order;
    const double of_rows = r.strengths[i] * rows_gain.size_at(order);
    if (of_rows < negligible_modulation) continue;
    const double of_frame = of_rows * frames_gain.size_at(order);
    left.pulse += of_frame;
    left.rows.push_back({order * hz, of_rows});
    left.frames.push_back({order * hz, of_frame});
  }
  return left;
}

/// The whole contrast as if it were all in the strongest line, or any other by itself; lines much
/// weaker than the strongest, and faster, are passed over: there the eye is no better.
template <typename Visibility>
double LookCeilings::most_visible(std::vector<Line> Remains::*lines, double contrast,
                                  double most_weight, Visibility visibility) {
  constexpr double much_weaker = 0.15;  // the eye would have to be seven times better there
  const Line* strongest = nullptr;
  for (const Remains& left : remains_) {
    for (const Line& line : left.*lines) {
      if (!strongest || line.left > strongest->left) strongest = &line;
    }
  }
  if (!strongest) return 0.0;
  double most = visibility(contrast, strongest->hz);
  for (Remains& left : remains_) {
    for (Line& line : left.*lines) {
      if (line.hz >= strongest->hz && line.left < much_weaker * strongest->left) continue;
      if (line.left * most_weight <= most) continue;
      if (line.seen < 0.0) line.seen = visibility(line.left, line.hz);
      most = std::max(most, line.seen);
    }
  }
  return most;
}

Recorded LookCeilings::at(const Offsets& offsets) {
  Swing swing;
  double pulse = 0.0;
  for (std::size_t i = 0; i < scene_.rhythms.size(); ++i) {
    const Remains& left = remains_of(i, fundamental_hz(scene_.rhythms[i], offsets));
    swing.up += left.swing.up;
    swing.down += left.swing.down;
    pulse += left.pulse;
  }
  pulse = std::min(1.0, pulse);
  Recorded r;
  r.pulse_percent = 100.0 * pulse;
  r.pulse_visibility = pulse * most_pulsing_;
  if (shot_.readout_s > 0.0) {
    const double contrast = contrast_of(swing);
    r.band_percent = 100.0 * contrast;
    r.band_visibility =
        most_visible(&Remains::rows, contrast, most_bands_,
                     [&](double share, double hz) { return weights_.bands(share, hz, shot_); });
  }
  if (r.pulse_visibility > std::min(r.band_visibility, clean_below)) {
    r.pulse_visibility =
        most_visible(&Remains::frames, pulse, most_pulsing_,
                     [&](double share, double hz) { return weights_.pulsing(share, hz, shot_); });
  }
  r.visibility = std::max(r.band_visibility, r.pulse_visibility);
  return r;
}

}  // namespace lampbeat::reasoning::judge
