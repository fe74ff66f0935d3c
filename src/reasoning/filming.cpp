#include "lampbeat/filming.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <numeric>
#include <optional>
#include <span>
#include <utility>

#include "lampbeat/exposure.hpp"
#include "lampbeat/visibility.hpp"
#include "reasoning/mains.hpp"
#include "reasoning/residue.hpp"
#include "reasoning/rhythm.hpp"

// Whether an exposure is clean depends on the frame rate (how the bands roll) and the mains (how
// they roll and how near the exposure is to whole cycles). Asking predict for every exposure at
// every frame rate would take seconds for one light; a shelf holds hundreds. So predict is asked
// once per rhythm, frame rate and mains how visible a small ripple of it is, and since visibility
// is proportional to contrast the rest is arithmetic:
//   - no less visible than any one rhythm alone,
//   - no more visible than all of them peaking together,
// and where these two disagree, the contrast of the frame is computed, from the few rhythms that
// matter most where they decide it, in full where they do not.

namespace lampbeat {

namespace {

constexpr double longest_ordinary_s = 1.0 / 24.0;
constexpr double longest_searched_s = 0.5;
constexpr int rows = 1080;
/// Rhythms asked about one by one; the many weaker ones are judged as the most visible of these.
constexpr std::size_t most_lines = 6;
/// Parts of the tolerance at which the mains is tried.
constexpr std::array<double, 5> drifts = {-1.0, -0.5, 0.0, 0.5, 1.0};

struct Line {
  double amplitude = 0.0;
  double hz = 0.0;      ///< at the nominal mains
  int mains_order = 0;  ///< 0: runs free
};

class FilmingCheck {
 public:
  FilmingCheck(const Light& light, double readout_s, const PredictionOptions& options)
      : readout_s_(readout_s), options_(options) {
    const LightShare alone{light, 1.0};
    const reasoning::Supply supply =
        reasoning::on_one_mains(reasoning::with_normal_shares({&alone, 1}), options.mains_hz);
    light_ = supply.lights;
    mains_hz_ = supply.mains_hz;
    if (mains_hz_) {
      tolerance_hz_ = options.mains_tolerance_hz.value_or(default_mains_tolerance_hz(*mains_hz_));
    }
    reckon_with_the_unseen();
    for (const LightComponent& c : light_[0].light.components) {
      if (c.amplitude < 1e-6) continue;
      lines_.push_back({c.amplitude, c.hz, mains_hz_ && c.mains_order ? *c.mains_order : 0});
    }
    std::sort(lines_.begin(), lines_.end(),
              [](const Line& a, const Line& b) { return a.amplitude > b.amplitude; });
    // Also validates readout and viewing for a light without any rhythm.
    probe(100.0, FrameRate{24, 1});
    weigh();
  }

  bool steady() const { return lines_.empty(); }
  const std::vector<Line>& lines() const { return lines_; }

  /// Clean at every customary frame rate with room for the exposure.
  bool clean(double exposure_s) const {
    const auto& rates = customary_frame_rates();
    bool any = false;
    for (std::size_t rate = rates.size(); rate-- > 0;) {
      const bool fits = exposure_s <= rates[rate].frame_s() * (1.0 + 1e-9);
      if (!fits && (rate > 0 || any)) continue;
      any = true;
      if (!clean_at(exposure_s, rate)) return false;
    }
    return true;
  }

  bool clean_at(double exposure_s, std::size_t rate) const {
    for (std::size_t drift = 0; drift < drifts.size(); ++drift) {
      if (!clean_at(exposure_s, rate, drift)) return false;
      if (!mains_hz_ || tolerance_hz_ == 0.0) break;
    }
    return true;
  }

  /// Beyond this exposure nothing this light does is visible: all rhythms at the outer envelope of
  /// their gain, 1/(πfT), peaking together, at their most visible.
  double surely_clean_from() const {
    double low = 1e-7;
    double high = longest_searched_s;
    const auto hidden = [&](double exposure_s) {
      double sum = 0.0;
      for (const Line& line : lines_) {
        const double slowest =
            line.hz * (1.0 - tolerance_hz_ / std::max(1.0, mains_hz_.value_or(1)));
        sum += line.amplitude * std::min(1.0, 1.0 / (std::numbers::pi * slowest * exposure_s));
      }
      return sum < 0.9 && hidden_by(sum / (1.0 - sum), most_visible_);
    };
    if (hidden(low)) return 0.0;
    if (!hidden(high)) return high;
    while (high > low * 1.01) {
      const double middle = std::sqrt(low * high);
      (hidden(middle) ? high : low) = middle;
    }
    return high;
  }

  bool predicted_clean(double exposure_s, std::size_t rate) const {
    if (surely_shows(exposure_s, rate)) return false;
    const Shot shot{customary_frame_rates()[rate], exposure_s, readout_s_, rows};
    PredictionOptions exact = options_;
    exact.mains_hz = mains_hz_;
    exact.mains_tolerance_hz = 0.0;
    if (predict(light_, shot, exact).nominal.verdict != Verdict::clean) return false;
    exact.mains_tolerance_hz = tolerance_hz_;
    return predict(light_, shot, exact).worst.verdict == Verdict::clean;
  }

 private:
  /// Visibility of a small ripple of one frequency, per unit of contrast left by the exposure.
  double probe(double hz, FrameRate fps) const {
    constexpr double contrast = 0.02;
    LightShare ripple{Light{}, 1.0};
    const double exposure_s = std::min(0.25 / hz, fps.frame_s());
    ripple.light.components.push_back(
        {hz, contrast / std::max(1e-3, std::abs(exposure_gain(hz, exposure_s))), 0.0, {}});
    PredictionOptions plain = options_;
    plain.mains_hz.reset();
    plain.mains_tolerance_hz = 0.0;
    const Shot shot{fps, exposure_s, readout_s_, rows};
    return predict({&ripple, 1}, shot, plain).nominal.visibility / contrast;
  }

  /// A ripple as strong as the recording's noise could hide may be there: a noisy capture in which
  /// nothing was found does not make a light fit for every shutter. It is taken to follow the
  /// mains, as most do, or to be at 100 Hz, the slowest common one, when the mains is not known.
  void reckon_with_the_unseen() {
    Light& light = light_[0].light;
    if (light.noise_percent <= 0.0) return;
    LightComponent unseen{100.0, light.noise_percent / 100.0, 0.0, {}};
    if (mains_hz_) {
      unseen.hz = 2.0 * *mains_hz_;
      unseen.mains_order = 2;
      light.mains_hz = mains_hz_;
    }
    light.components.push_back(unseen);
  }

  double hz_at(const Line& line, std::size_t drift) const {
    return line.mains_order > 0 ? line.mains_order * (*mains_hz_ + drifts[drift] * tolerance_hz_)
                                : line.hz;
  }

  void weigh() {
    const auto& rates = customary_frame_rates();
    asked_ = 0;
    while (asked_ < lines_.size() && asked_ < most_lines &&
           lines_[asked_].amplitude >= 0.08 * lines_[0].amplitude) {
      ++asked_;
    }
    weight_.resize(rates.size());
    for (std::size_t rate = 0; rate < rates.size(); ++rate) {
      for (std::size_t drift = 0; drift < drifts.size(); ++drift) {
        std::vector<double>& weights = weight_[rate][drift];
        for (std::size_t i = 0; i < asked_; ++i) {
          const bool moves = lines_[i].mains_order > 0 && tolerance_hz_ > 0.0;
          weights.push_back(drift > 0 && !moves ? weight_[rate][0][i]
                                                : probe(hz_at(lines_[i], drift), rates[rate]));
          most_visible_ = std::max(most_visible_, weights.back());
        }
      }
    }
  }

  /// Whether one rhythm alone shows, whatever the others do. Two rows differ by what all rhythms
  /// together do to them; that difference, over all starts, is a wave whose peak is at least π/4 of
  /// the amplitude of any of its parts (the square wave has the lowest peak). Rows are no brighter
  /// than 1 + the sum of what is left. A tenth covers the rounding of a pattern to whole rows.
  bool surely_shows(double exposure_s, std::size_t rate) const {
    for (std::size_t drift = 0; drift < drifts.size(); ++drift) {
      // In between, predict may look at slightly other frequencies.
      if (drift != 0 && drift + 1 != drifts.size() && drifts[drift] != 0.0) continue;
      const Residue& residue = residue_of(exposure_s, drift);
      const double factor = 0.9 * std::numbers::pi / 4.0 / (1.0 + residue.sum);
      for (std::size_t i = 0; i < asked_; ++i) {
        const double contrast = factor * residue.asked[i];
        if (!hidden_by(contrast, weight_[rate][drift][i])) return true;
      }
    }
    return false;
  }

  bool hidden_by(double contrast, double weight) const {
    return contrast * weight < clean_below ||
           2.0 * contrast < recording_step(options_.viewing.recording_bits);
  }

  bool clean_at(double exposure_s, std::size_t rate, std::size_t drift) const {
    const std::vector<double>& weights = weight_[rate][drift];
    const double most = *std::max_element(weights.begin(), weights.end());
    Residue& residue = residue_of(exposure_s, drift);
    double alone = 0.0;
    for (std::size_t i = 0; i < asked_; ++i) {
      alone = std::max(alone, residue.asked[i] * weights[i]);
    }
    const double strongest_weight = residue.strongest < asked_ ? weights[residue.strongest] : most;
    const double together = residue.sum < 0.9 ? residue.sum / (1.0 - residue.sum) : 9.0;
    if (hidden_by(together, std::max(strongest_weight, alone / std::max(together, 1e-12)))) {
      return true;
    }
    const bool recordable =
        2.0 * residue.strongest_left >= recording_step(options_.viewing.recording_bits);
    if (recordable && alone >= clean_below) return false;
    const double weight = alone < clean_below ? strongest_weight : std::max(strongest_weight, most);
    const Between rough = rough_contrast(residue, exposure_s, drift);
    if (hidden_by(rough.high, weight)) return true;
    if (!hidden_by(rough.low, weight)) return false;
    return hidden_by(contrast_of(residue, exposure_s, drift), weight);
  }

  struct Between {
    double low = 0.0;
    double high = 1.0;
  };

  /// What an exposure leaves of the rhythms. The frame rates share it.
  struct Residue {
    double exposure_s = 0.0;
    std::vector<double> asked;  ///< amplitude left of each line asked about
    double sum = 0.0;
    std::size_t strongest = 0;
    double strongest_left = 0.0;
    std::optional<Between> rough;
    std::optional<double> contrast;
  };

  /// The last exposure's is remembered.
  Residue& residue_of(double exposure_s, std::size_t drift) const {
    Residue& r = residues_[drift];
    if (r.exposure_s == exposure_s) return r;
    r = Residue{};
    r.exposure_s = exposure_s;
    r.asked.resize(asked_);
    for (std::size_t i = 0; i < lines_.size(); ++i) {
      const double left =
          lines_[i].amplitude * std::abs(exposure_gain(hz_at(lines_[i], drift), exposure_s));
      r.sum += left;
      if (left > r.strongest_left) {
        r.strongest_left = left;
        r.strongest = i;
      }
      if (i < asked_) r.asked[i] = left;
    }
    return r;
  }

  /// Between what the contrast among rows must lie, from the few harmonics that matter most. When
  /// those dropped sum to ε and those kept to S, each row moves by at most ε while two rows sum to
  /// at least 2 (1 − S), so that the contrast moves by at most ε / (1 − S).
  Between rough_contrast(Residue& residue, double exposure_s, std::size_t drift) const {
    if (residue.rough) return *residue.rough;
    constexpr double enough = 0.9;    // of the sum
    constexpr double search = 0.002;  // twice what the search itself may miss
    std::vector<reasoning::Rhythm> left = reasoning::after_exposure(rhythms_at(drift), exposure_s);
    std::vector<double> sizes;
    for (const auto& rhythm : left) {
      for (const auto& h : rhythm.harmonics) sizes.push_back(std::abs(h.amplitude));
    }
    std::sort(sizes.rbegin(), sizes.rend());
    const double sum = std::accumulate(sizes.begin(), sizes.end(), 0.0);
    double kept = 0.0;
    double smallest = 0.0;
    for (std::size_t i = 0; i < sizes.size() && kept < enough * sum; ++i) {
      kept += sizes[i];
      smallest = sizes[i];
    }
    double dropped = 0.0;
    for (auto& rhythm : left) {
      std::erase_if(rhythm.harmonics, [&](const reasoning::Harmonic& h) {
        const bool drop = std::abs(h.amplitude) < smallest;
        if (drop) dropped += std::abs(h.amplitude);
        return drop;
      });
    }
    std::erase_if(left, [](const reasoning::Rhythm& r) { return r.harmonics.empty(); });
    residue.rough.emplace();
    if (sum - dropped < 0.9) {
      const double contrast = contrast_among_rows(left, exposure_s);
      const double off = dropped / (1.0 - (sum - dropped)) + search * contrast;
      residue.rough = Between{contrast - off, contrast + off};
    }
    return *residue.rough;
  }

  double contrast_of(Residue& residue, double exposure_s, std::size_t drift) const {
    if (!residue.contrast) {
      residue.contrast =
          contrast_among_rows(reasoning::after_exposure(rhythms_at(drift), exposure_s), exposure_s);
    }
    return *residue.contrast;
  }

  const std::vector<reasoning::Rhythm>& rhythms_at(std::size_t drift) const {
    std::optional<std::vector<reasoning::Rhythm>>& rhythms = rhythms_[drift];
    if (!rhythms) {
      rhythms = reasoning::rhythms_of(
          mains_hz_ ? reasoning::drifted(light_, *mains_hz_ + drifts[drift] * tolerance_hz_)
                    : light_);
    }
    return *rhythms;
  }

  /// Contrast among rows any distance apart.
  double contrast_among_rows(std::span<const reasoning::Rhythm> left, double exposure_s) const {
    // A global shutter sees the same contrast between frames instead of rows.
    const Shot shot{FrameRate{24, 1}, exposure_s, readout_s_ > 0.0 ? readout_s_ : 0.04, rows};
    return reasoning::contrast_in_frame(left, shot, reasoning::Effort::full);
  }

  double readout_s_;
  PredictionOptions options_;
  std::vector<LightShare> light_;
  std::optional<double> mains_hz_;
  double tolerance_hz_ = 0.0;
  std::vector<Line> lines_;
  std::size_t asked_ = 0;  ///< the first lines, whose weights were asked of predict
  std::vector<std::array<std::vector<double>, drifts.size()>> weight_;  ///< [rate][drift][line]
  double most_visible_ = 0.0;
  mutable std::array<Residue, drifts.size()> residues_;
  mutable std::array<std::optional<std::vector<reasoning::Rhythm>>, drifts.size()> rhythms_;
};

/// Walks from where everything is surely hidden towards shorter exposures, to the first that shows.
std::optional<double> shortest_clean(const FilmingCheck& check) {
  if (check.steady()) return 0.0;
  double good = check.surely_clean_from();
  if (good == 0.0) return 0.0;
  if (!check.clean(good)) return std::nullopt;
  double fastest_hz = check.lines().front().hz;
  for (const Line& line : check.lines()) {
    if (line.amplitude >= 0.1 * check.lines().front().amplitude) {
      fastest_hz = std::max(fastest_hz, line.hz);
    }
  }
  // A sixteenth of the fastest cycle follows every lobe; an instant is as good as none.
  constexpr double instant_s = 1e-6;
  while (good > instant_s) {
    const double next = good - std::max(1.0 / (16.0 * fastest_hz), good / 400.0);
    const double tried = std::max(next, 0.5 * good);
    if (check.clean(tried)) {
      good = tried;
      continue;
    }
    double bad = tried;
    for (int i = 0; i < 12; ++i) {
      const double middle = 0.5 * (good + bad);
      (check.clean(middle) ? good : bad) = middle;
    }
    break;
  }
  if (good <= instant_s) return 0.0;
  if (good > longest_ordinary_s) return std::nullopt;
  return good;
}

bool some_whole_cycles_clean(const FilmingCheck& check) {
  constexpr std::size_t most_rhythms = 3;
  const auto& rates = customary_frame_rates();
  for (std::size_t i = 0; i < std::min(most_rhythms, check.lines().size()); ++i) {
    const double hz = check.lines()[i].hz;
    const double most = std::floor(rates.front().frame_s() * hz);
    const double step = std::max(1.0, std::floor(most / 32.0));
    for (double cycles = most; cycles >= 1.0; cycles -= step) {
      const double exposure_s = cycles / hz;
      for (std::size_t rate = 0; rate < rates.size(); ++rate) {
        if (exposure_s > rates[rate].frame_s() * (1.0 + 1e-9)) break;
        if (check.clean_at(exposure_s, rate)) return true;
      }
    }
  }
  return false;
}

}  // namespace

const std::vector<FrameRate>& customary_frame_rates() {
  static const std::vector<FrameRate> rates = {
      {24000, 1001}, {24, 1},        {25, 1},  {30000, 1001}, {30, 1},        {48, 1},
      {50, 1},       {60000, 1001},  {60, 1},  {100, 1},      {120000, 1001}, {120, 1},
      {200, 1},      {240000, 1001}, {240, 1}, {480, 1},      {960, 1}};
  return rates;
}

const char* filming_words(FilmingClass filming) {
  switch (filming) {
    case FilmingClass::any_shutter:
      return "any shutter";
    case FilmingClass::matched_shutters_only:
      return "matched shutters only";
    case FilmingClass::no_safe_shutter:
      return "no safe shutter";
  }
  return "no safe shutter";
}

FilmingRating rate_for_filming(const Light& light, double readout_s,
                               const PredictionOptions& options) {
  const FilmingCheck check(light, readout_s, options);
  FilmingRating rating;
  rating.shortest_clean_exposure_s = shortest_clean(check);
  if (rating.shortest_clean_exposure_s == 0.0) {
    rating.filming = FilmingClass::any_shutter;
  } else if (rating.shortest_clean_exposure_s || some_whole_cycles_clean(check)) {
    rating.filming = FilmingClass::matched_shutters_only;
  }
  const auto& rates = customary_frame_rates();
  for (std::size_t rate = rates.size(); rate-- > 0;) {
    if (check.predicted_clean(0.5 * rates[rate].frame_s(), rate)) {
      rating.highest_clean_fps = rates[rate].per_s();
      break;
    }
  }
  return rating;
}

}  // namespace lampbeat
