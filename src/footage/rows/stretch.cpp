#include "footage/rows/stretch.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "arithmetic/phase.hpp"
#include "footage/answer/lamp_check.hpp"
#include "footage/rows/power_map.hpp"
#include "footage/rows/ratios.hpp"
#include "footage/waves/wave_fit.hpp"
#include "signal/spectrum/fft.hpp"

namespace lampbeat::footage {

namespace {

constexpr int most_waves = 3;
constexpr int highest_order = 6;
// Power of a peak over the noise around it. The largest of a million noise bins reaches about 20
// times the median; compression noise has heavier tails.
constexpr double significant = 45.0;
constexpr int rounds = 6;
constexpr double deepest = 0.9;
// Waves fainter than this (of the mean; of the residual of single rows; of the strongest wave) are
// not worth a word: rounding to code values and people walking leave such traces.
constexpr double least_amplitude = 5e-4;
constexpr double least_of_unrest = 0.3;
constexpr double least_of_strongest = 0.04;
// Residuals beyond this many typical ones are pulled in: somebody fills the whole row.
constexpr double pull_in_beyond = 3.0;
// With fewer bands than this the rows alone hardly tell a wave from a change of exposure.
constexpr double enough_bands = 0.75;
// A slow drift and a wave of this many cycles can be told apart in the frame means.
constexpr double enough_cycles = 1.5;

// Lamps in clips of known content stayed below these, moving views above one of them.
constexpr double most_disagreement = 0.45;
constexpr double most_unexplained = 0.45;
constexpr double little_unexplained = 0.05;
// Of the wave's amplitude: what typical cells do beside it under a camera that stands (0.03 and
// less in clips of known content, 0.09 and more where it tilts), and what is still shared when it
// moves.
constexpr double still_view = 0.06;
constexpr double most_of_moving = 0.15;
// A pulse of the whole frame is as deep everywhere but for other light.
constexpr double most_uneven = 0.5;
// What turned over less often than this has left little to compare.
constexpr double few_turns = 2.0;
constexpr double least_share_of_pulsing = 0.3;
constexpr double quick_pulse = 4.0;
constexpr double most_unexplained_slow = 0.05;

double mean_of(const std::vector<double>& values) {
  double sum = 0.0;
  for (const double v : values) sum += v;
  return values.empty() ? 0.0 : sum / static_cast<double>(values.size());
}

/// The slowest apparent speed among a wave's harmonics that move at all, cycles per frame.
double slowest_roll(const Wave& wave) {
  double slowest = 0.5;
  for (const Harmonic& h : wave.harmonics) {
    const double cycles = h.order * wave.roll;
    slowest = std::min(slowest, arithmetic::off_whole(cycles));
  }
  return slowest;
}

class Separation {
 public:
  explicit Separation(const Cells& cells)
      : cells_(cells), gain_(cells.frames(), 1.0), pattern_(cells.frames(), cells.rows) {}

  StretchEstimate run() {
    for (int round = 0; round < rounds; ++round) {
      scene_ = scene_of(cells_, pattern_, gain_);
      divide_out();
      if (round < 2 || (round == 2 && waves_.empty())) find_new_waves();
      if (round == 2) {
        for (std::size_t w = 0; w < waves_.size(); ++w) choose_harmonics(w);
      }
      if (waves_.empty() && round >= 2) break;
      refine(waves_, target_);
      if (round < 2) tame();
      drop_hopeless();
      pattern_ = pattern_of(waves_, cells_.frames(), cells_.rows, cells_.scale);
    }
    drop_faint();
    drop_scenery();
    scene_ = scene_of(cells_, pattern_of_moving(), gain_);
    fill_frame_amplitudes();
    std::sort(waves_.begin(), waves_.end(), [](const Wave& a, const Wave& b) {
      return std::abs(a.strongest().amplitude) > std::abs(b.strongest().amplitude);
    });
    StretchEstimate estimate;
    estimate.frames = cells_.frames();
    estimate.rounding = cells_.rounding;
    estimate.waves = waves_;
    estimate.smallest_seen = std::max({smallest_seen_, least_amplitude, least_of_unrest * unrest_,
                                       scenery_, most_unexplained * unexplained_});
    estimate.unrest = unrest_;
    estimate.unexplained = unexplained_;
    estimate.scenery = scenery_;
    estimate.scene = scene_;
    estimate.frame_means = frame_mean_;
    if (!waves_.empty()) {
      estimate.curves = curve_evidence({cells_, scene_, gain_, pattern_}, waves_.front());
    }
    return estimate;
  }

 private:
  /// Frame means can join the fit once a wave is known to be quick enough.
  bool means_help() const {
    return !waves_.empty() && waves_.front().bands < enough_bands &&
           slowest_roll(waves_.front()) * static_cast<double>(cells_.frames()) >= enough_cycles;
  }

  /// Modes slow enough to be exposure drift and not the wave: below 0.4 of its speed.
  std::size_t slow_modes() const {
    double slowest = 0.5;
    for (const Wave& wave : waves_) slowest = std::min(slowest, slowest_roll(wave));
    const double half_cycles = 2.0 * 0.4 * slowest * static_cast<double>(cells_.frames());
    return 1 + static_cast<std::size_t>(std::clamp(half_cycles, 0.0, 12.0));
  }

  /// Row ratios with gaps and outliers replaced by what the model says, then the gain of each
  /// frame divided out and everything the scene could imitate removed.
  void divide_out() {
    Plane ratio = ratios(cells_, scene_);
    pull_in_outliers(ratio);
    frame_mean_.assign(ratio.frames, 1.0);
    std::vector<double> rows;
    for (std::size_t n = 0; n < ratio.frames; ++n) {
      double sum = 0.0;
      rows.clear();
      for (std::size_t r = 0; r < ratio.rows; ++r) {
        sum += ratio.at(n, r);
        rows.push_back(ratio.at(n, r) / std::max(1.0 + pattern_.at(n, r), 0.02));
      }
      frame_mean_[n] = sum / static_cast<double>(ratio.rows);
      gain_[n] = std::max(median(rows), 1e-3);
    }
    target_.scale = cells_.scale;
    target_.frame_means.clear();
    if (means_help()) {
      target_.slow_modes = slow_modes();
      std::vector<double> quick = gain_;
      take_out_slow(quick, target_.slow_modes);
      for (std::size_t n = 0; n < gain_.size(); ++n) gain_[n] -= quick[n];
    }
    target_.rows = Plane(ratio.frames, ratio.rows);
    for (std::size_t n = 0; n < ratio.frames; ++n) {
      for (std::size_t r = 0; r < ratio.rows; ++r) {
        target_.rows.at(n, r) = ratio.at(n, r) / gain_[n];
      }
    }
    if (means_help()) {
      for (std::size_t n = 0; n < gain_.size(); ++n) {
        target_.frame_means.push_back(frame_mean_[n] / gain_[n]);
      }
      take_out_slow(target_.frame_means, target_.slow_modes);
    }
    centre(target_.rows);
    estimate_noise();
  }

  /// Row ratios without gaps, residuals beyond a few typical ones pulled in.
  void pull_in_outliers(Plane& ratio) {
    std::vector<double> offset_of_row(ratio.rows, 0.0);
    std::vector<double> gain_of_frame(ratio.frames, 1.0);
    std::vector<double> some;
    const auto model = [&](std::size_t n, std::size_t r) {
      return gain_of_frame[n] * (1.0 + pattern_.at(n, r));
    };
    for (std::size_t n = 0; n < ratio.frames; ++n) {
      some.clear();
      for (std::size_t r = 0; r < ratio.rows; ++r) {
        const double v = ratio.at(n, r) / std::max(1.0 + pattern_.at(n, r), 0.02);
        if (!std::isnan(v)) some.push_back(v);
      }
      gain_of_frame[n] = some.empty() ? 1.0 : median(some);
    }
    std::vector<double> all;
    for (std::size_t i = 0; i < ratio.value.size(); ++i) {
      const double v = ratio.value[i];
      if (!std::isnan(v)) all.push_back(std::abs(v - model(i / ratio.rows, i % ratio.rows)));
    }
    unrest_ = all.empty() ? 0.0 : normal_sd * median(all);
    // Before the waves are known they are themselves part of what is left.
    const double reach = pull_in_beyond * std::max(unrest_, 1e-4) * (waves_.empty() ? 2.0 : 1.0);
    for (std::size_t n = 0; n < ratio.frames; ++n) {
      for (std::size_t r = 0; r < ratio.rows; ++r) {
        const double expected = model(n, r);
        double& v = ratio.at(n, r);
        v = std::isnan(v) ? expected : expected + std::clamp(v - expected, -reach, reach);
      }
    }
  }

  static void centre(Plane& plane) {
    std::vector<double> row_mean(plane.rows, 0.0);
    for (std::size_t n = 0; n < plane.frames; ++n) {
      double frame_mean = 0.0;
      for (std::size_t r = 0; r < plane.rows; ++r) frame_mean += plane.at(n, r);
      frame_mean /= static_cast<double>(plane.rows);
      for (std::size_t r = 0; r < plane.rows; ++r) {
        plane.at(n, r) -= frame_mean;
        row_mean[r] += plane.at(n, r);
      }
    }
    for (std::size_t n = 0; n < plane.frames; ++n) {
      for (std::size_t r = 0; r < plane.rows; ++r) {
        plane.at(n, r) -= row_mean[r] / static_cast<double>(plane.frames);
      }
    }
  }

  Plane residual() const {
    Plane left = pattern_of(waves_, cells_.frames(), cells_.rows, cells_.scale);
    centre(left);
    for (std::size_t i = 0; i < left.value.size(); ++i) {
      left.value[i] = target_.rows.value[i] - left.value[i];
    }
    return left;
  }

  /// Noise as it is at the waves' own places in the map: compression noise is far from white.
  void estimate_noise() {
    const PowerMap map(residual(), cells_.scale);
    double variance = 1e-12;
    if (waves_.empty()) variance = std::max(variance, std::pow(map.amplitude_at(1.0), 2));
    for (const Wave& wave : waves_) {
      variance = std::max(variance, map.noise_variance(wave.roll, wave.bands));
    }
    target_.row_noise_variance = variance;
    smallest_seen_ = map.amplitude_at(significant);
    if (!target_.frame_means.empty()) {
      // One frame mean is worth all its rows, if nothing else moves the whole frame.
      std::vector<double> jumps;
      for (std::size_t n = 1; n < target_.frame_means.size(); ++n) {
        double expected[2] = {0.0, 0.0};
        for (std::size_t r = 0; r < cells_.rows; ++r) {
          expected[0] += pattern_.at(n - 1, r);
          expected[1] += pattern_.at(n, r);
        }
        const double step = (expected[1] - expected[0]) / static_cast<double>(cells_.rows);
        jumps.push_back(std::abs(target_.frame_means[n] - target_.frame_means[n - 1] - step));
      }
      const double sd = normal_sd * median(jumps) / std::numbers::sqrt2;
      target_.frame_noise_variance =
          std::max({sd * sd, variance / static_cast<double>(cells_.rows), 1e-12});
    }
  }

  /// Whether a peak is a harmonic of a known wave, or of its mirror image: a pattern of little more
  /// than one band looks much the same running either way.
  bool already_known(double roll, double bands) const {
    for (const Wave& wave : waves_) {
      for (int order = 1; order <= highest_order; ++order) {
        for (const double side : {1.0, -1.0}) {
          const double off = arithmetic::wrapped_turns(side * roll - order * wave.roll);
          if (std::abs(off) * static_cast<double>(cells_.frames()) < 2.5 &&
              std::abs(side * bands - order * wave.bands) < 2.5) {
            return true;
          }
        }
      }
    }
    return false;
  }

  void find_new_waves() {
    while (waves_.size() < most_waves) {
      const PowerMap::Peak peak = PowerMap(residual(), cells_.scale).strongest(significant);
      if (peak.above_floor <= 0.0) break;
      Wave found;
      found.roll = peak.roll;
      found.bands = peak.bands;
      found.harmonics.push_back({1, {}, 0.0, {}});
      make_customary(found);
      if (already_known(found.roll, found.bands)) break;
      if (waves_.empty()) scan_around(found, target_);
      waves_.push_back(found);
      refine(waves_, target_);
      choose_harmonics(waves_.size() - 1);
    }
    if (waves_.empty()) find_pulse();
  }

  /// A wave without bands, as a global shutter records it, shows in the frame means only.
  void find_pulse() {
    std::vector<double> means = frame_mean_;
    const double level = mean_of(means);
    const std::size_t modes =
        std::min<std::size_t>(1 + means.size() / 20, 12);  // slower than that is drift
    take_out_slow(means, modes);
    const std::size_t size = signal::fast_transform_size(4 * means.size());
    const auto line = signal::forward_transform(means, size);
    std::vector<double> power;
    for (const auto& x : line) power.push_back(std::norm(x));
    const std::size_t first = 4 * modes;  // in padded bins, two per mode and some distance
    if (first + 8 >= power.size()) return;
    const auto top =
        std::max_element(power.begin() + static_cast<std::ptrdiff_t>(first), power.end());
    std::vector<double> rest(power.begin() + static_cast<std::ptrdiff_t>(first), power.end());
    const double floor = median(rest);
    const double amplitude =
        2.0 * std::sqrt(*top) / static_cast<double>(means.size()) / std::max(level, 1e-6);
    // A tenth of a percent: below that, compression alone makes frames breathe.
    if (*top < significant * floor || amplitude < 1e-3) return;
    // A rhythm is most of what the frames do beside drift; chance and uneven times spread it out.
    double squares = 0.0;
    for (const double v : means) squares += v * v;
    const double share = 2.0 * *top / (static_cast<double>(means.size()) * squares);
    if (share < least_share_of_pulsing) return;
    Wave found;
    found.roll = static_cast<double>(top - power.begin()) / static_cast<double>(size);
    found.harmonics.push_back({1, amplitude, 0.0, {}});
    waves_.push_back(found);
    divide_out();
  }

  /// Tries all orders of a wave at once; those that stand out stay.
  void choose_harmonics(std::size_t w) {
    std::vector<Wave> tried = waves_;
    auto& own = tried[w].harmonics;
    own.resize(1);
    for (int order = 2; order <= highest_order; ++order) {
      const double cycles = order * tried[w].roll;
      const double moving = arithmetic::off_whole(cycles) * static_cast<double>(cells_.frames());
      const bool resolved =
          order * tried[w].bands < 0.4 * cells_.scale.picture_rows / cells_.scale.averaged;
      // A harmonic that (nearly) stands still cannot be told from the scene.
      if (moving >= 1.0 && resolved) own.push_back({order, {}, 0.0, {}});
    }
    refine(tried, target_, false);
    const double fundamental = std::abs(own.front().amplitude);
    own.erase(std::remove_if(own.begin() + 1, own.end(),
                             [&](const Harmonic& h) {
                               return std::abs(h.amplitude) < 4.0 * h.sd ||
                                      std::abs(h.amplitude) < 0.01 * fundamental;
                             }),
              own.end());
    waves_[w] = tried[w];
    refine(waves_, target_);
  }

  /// Few deep bands go with the whole frame's level. Before the gain knows that, it takes the level
  /// out and makes the pattern too deep; no light is less than none.
  void tame() {
    for (Wave& wave : waves_) {
      const double amplitude = std::abs(wave.strongest().amplitude);
      if (wave.bands > enough_bands || !(amplitude > deepest)) continue;
      for (Harmonic& h : wave.harmonics) h.amplitude *= deepest / amplitude;
    }
  }

  /// A fit that ran away, or that says nothing, is no finding.
  void drop_hopeless() {
    std::erase_if(waves_, [&](const Wave& wave) {
      const double amplitude = std::abs(wave.harmonics.front().amplitude);
      return !std::isfinite(amplitude) || !std::isfinite(wave.bands) || amplitude > 1.5 ||
             wave.harmonics.front().sd > 0.5 * amplitude;
    });
  }

  /// What each wave leaves in the mean of whole frames. The model's word is better than the frame
  /// means themselves, which also hold every move of the exposure automatic.
  void fill_frame_amplitudes() {
    for (Wave& wave : waves_) {
      for (Harmonic& h : wave.harmonics) {
        std::complex<double> mean;
        for (std::size_t r = 0; r < cells_.rows; ++r) {
          mean += std::polar(1.0,
                             2.0 * std::numbers::pi * h.order * wave.bands * cells_.scale.place(r));
        }
        h.frame_amplitude = h.amplitude * mean / static_cast<double>(cells_.rows);
      }
    }
  }

  /// Fits to noise and to what people in the shot leave behind are not patterns of the light.
  void drop_faint() {
    double strongest = 0.0;
    for (const Wave& wave : waves_) {
      strongest = std::max(strongest, std::abs(wave.harmonics.front().amplitude));
    }
    std::erase_if(waves_, [&](const Wave& wave) {
      const double amplitude = std::abs(wave.harmonics.front().amplitude);
      return amplitude <
             std::max({least_amplitude, least_of_unrest * unrest_, least_of_strongest * strongest});
    });
  }

  /// Whether a wave is what a lamp does: the rows do little else, the columns share it, and the
  /// scene behind it stands still. Where the camera moves, a slow wave may be the motion itself,
  /// and a quick one must be the same in all columns, whatever they hold.
  bool of_a_lamp(const Wave& wave, const Parts& parts, double moving, double uneven) const {
    const double amplitude = std::abs(wave.strongest().amplitude);
    const bool slow = slowest_roll(wave) * static_cast<double>(cells_.frames()) < few_turns;
    if (unexplained_ > (slow ? most_unexplained_slow : most_unexplained) * amplitude) return false;
    if (wave.bands < enough_bands && uneven > most_uneven * amplitude) return false;
    const double disagreed = disagreement(parts, wave);
    // People in the shot disturb single strips; they leave the rows together alone.
    const bool undisturbed = unexplained_ <= little_unexplained * amplitude;
    if (!undisturbed && moving > still_view * amplitude) {
      return !slow && disagreed <= most_of_moving;
    }
    return disagreed <= (undisturbed ? 2.0 : 1.0) * most_disagreement;
  }

  /// Waves that are none of a lamp are structure of the scene carried past by a moving camera.
  void drop_scenery() {
    pattern_ = pattern_of(waves_, cells_.frames(), cells_.rows, cells_.scale);
    unexplained_ = unexplained_rows(residual());
    const Parts parts{cells_, scene_, gain_, pattern_};
    const double uneven = unexplained_cells(parts, {});
    const double moving = std::min(unexplained_cells(parts, waves_), uneven);
    std::erase_if(waves_, [&](const Wave& wave) {
      // Whole frames that swell slowly are the exposure automatic's doing.
      const double turns = slowest_roll(wave) * static_cast<double>(cells_.frames());
      if (wave.bands < std::max(3.0 * wave.bands_sd, 0.05) && turns < quick_pulse) return true;
      if (of_a_lamp(wave, parts, moving, uneven)) return false;
      scenery_ = std::max(scenery_, std::abs(wave.strongest().amplitude));
      return true;
    });
  }

  /// Of what moved enough to be told from the scene; the rest must not be divided out of it.
  Plane pattern_of_moving() const {
    std::vector<Wave> moving = waves_;
    std::erase_if(moving, [&](const Wave& wave) {
      return slowest_roll(wave) * static_cast<double>(cells_.frames()) < 1.0;
    });
    return pattern_of(moving, cells_.frames(), cells_.rows, cells_.scale);
  }

  const Cells& cells_;
  std::vector<double> gain_;        // of each frame: exposure automatic
  std::vector<double> frame_mean_;  // with the waves in it
  Plane pattern_;
  std::vector<float> scene_;
  std::vector<Wave> waves_;
  FitTarget target_;
  double smallest_seen_ = 0.0;
  double unrest_ = 0.0;
  double unexplained_ = 0.0;
  double scenery_ = 0.0;  // amplitude of the strongest wave that was none of a lamp
};

}  // namespace

StretchEstimate analyse(const Cells& cells) {
  if (cells.frames() < fewest_frames) {
    StretchEstimate none;
    none.frames = cells.frames();
    const Plane flat(cells.frames(), cells.rows);
    none.scene = scene_of(cells, flat, std::vector<double>(cells.frames(), 1.0));
    return none;
  }
  return Separation(cells).run();
}

}  // namespace lampbeat::footage
