#include "reasoning/judge/look_ceilings.hpp"

#include <algorithm>

#include "arithmetic/phase.hpp"
#include "lampbeat/banding.hpp"
#include "lampbeat/visibility.hpp"
#include "reasoning/bands/flash_train.hpp"
#include "reasoning/bands/gains.hpp"
#include "reasoning/bands/recorded.hpp"

namespace lampbeat::reasoning::judge {

namespace {

/// Lines closer than this, of their frequency, may be taken for one, rounding included.
constexpr double together = 2e-9;

/// Whether an order of the one, up to its highest, may lie on one of the other's.
bool may_share_lines(double hz, int highest, double other_hz, int other_highest) {
  for (int order = 1; order <= highest; ++order) {
    const double others = order * hz / other_hz;
    if (others > other_highest + 0.5) return false;
    if (others > 0.5 && arithmetic::off_whole(others) <= together * others) return true;
  }
  return false;
}

}  // namespace

LookCeilings::LookCeilings(const Scene& scene, const Shot& shot, const Weights& weights)
    : scene_(scene), shot_(shot), weights_(weights), remains_(scene.rhythms.size()) {}

LookCeilings::Remains& LookCeilings::remains_of(std::size_t rhythm, double hz) {
  Remains& left = remains_[rhythm];
  if (left.hz == hz) return left;
  left = {};
  left.hz = hz;
  if (!(hz > 0.0)) return left;
  const MovingSeries& r = scene_.rhythms[rhythm];
  left.swing = r.swing.at(hz * shot_.exposure_s);
  bands::ExposureGains rows_gain(hz, shot_.exposure_s);
  bands::FrameMeanGains frames_gain(hz, shot_);
  for (std::size_t i = 0; i < r.harmonics.size(); ++i) {
    const int order = r.harmonics[i].order;
    const double of_rows = r.strengths[i] * rows_gain.size_at(order);
    if (of_rows < negligible_modulation && !r.any_waveform) continue;
    const double of_frame = of_rows * frames_gain.size_at(order);
    left.pulse += of_frame;
    left.rows.push_back({order * hz, of_rows});
    left.frames.push_back({order * hz, of_frame * bands::share_in_clip(order * hz, shot_.fps)});
    left.highest_order = std::max(left.highest_order, order);
  }
  if (r.any_waveform) {
    const double beyond = bands::beyond_harmonics(left.swing, hz * shot_.readout_s, shot_.rows,
                                                  mixture::highest_order(r.harmonics));
    left.pulse += 2.0 * beyond;
  }
  return left;
}

void LookCeilings::find_company() {
  for (Remains& left : remains_) left.company = 1.0;
  for (std::size_t i = 0; i < remains_.size(); ++i) {
    for (std::size_t j = i + 1; j < remains_.size(); ++j) {
      Remains& one = remains_[i];
      Remains& other = remains_[j];
      if (one.rows.empty() || other.rows.empty()) continue;
      if (!may_share_lines(one.hz, one.highest_order, other.hz, other.highest_order)) continue;
      one.company += 1.0;
      other.company += 1.0;
    }
  }
}

/// The whole contrast as if it were all in the strongest line, whichever that may be, and any other
/// line by itself; with those of its company that lie on it, where lines add up.
template <typename Seen>
double LookCeilings::most_visible(std::vector<Line> Remains::*lines, bool add_up, double contrast,
                                  double most_weight, Seen seen) const {
  constexpr double but_for_rounding = 1.0 - 1e-9;
  double strongest = 0.0;
  for (const Remains& left : remains_) {
    for (const Line& line : left.*lines) strongest = std::max(strongest, line.left);
  }
  const bool any_waveform = scene_.any_waveform();
  double most = 0.0;
  for (const Remains& left : remains_) {
    const double company = add_up ? left.company : 1.0;
    for (const Line& line : left.*lines) {
      const double all = company * line.left;
      const bool may_be_strongest = any_waveform || all >= but_for_rounding * strongest;
      const double share = may_be_strongest ? contrast : std::min(contrast, all);
      if (share * most_weight <= most) continue;
      most = std::max(most, seen(share, line.hz, shot_, weights_.eye()));
    }
  }
  return bands::through_noise(most, contrast, shot_, weights_.eye());
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
  find_company();
  pulse = std::min(1.0, pulse);
  Recorded r;
  r.pulse_percent = 100.0 * pulse;
  r.pulse_visibility = pulse * weights_.most_pulsing();
  if (shot_.readout_s > 0.0) {
    const double contrast = contrast_of(swing);
    r.band_percent = 100.0 * contrast;
    r.band_visibility =
        most_visible(&Remains::rows, true, contrast, weights_.most_bands(), bands::bands_of_line);
  }
  if (r.pulse_visibility > std::min(r.band_visibility, clean_below)) {
    r.pulse_visibility = most_visible(&Remains::frames, false, pulse, weights_.most_pulsing(),
                                      bands::pulsing_of_line);
  }
  r.visibility = std::max(r.band_visibility, r.pulse_visibility);
  return r;
}

}  // namespace lampbeat::reasoning::judge
