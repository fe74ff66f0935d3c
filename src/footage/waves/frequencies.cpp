#include "footage/waves/frequencies.hpp"

#include "arithmetic/alias.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "lampbeat/banding.hpp"
#include "lampbeat/prediction.hpp"
#include "words/numbers.hpp"

namespace lampbeat::footage::waves {

namespace {

// To 1200 and 1440 Hz, where the 1 % of EN 50160 covers half of all frequencies.
constexpr int highest_mains_order = 24;
// Share by which a frequency a person states is off what the mains (EN 50160) or a ceramic
// resonator really does.
constexpr double stated_tolerance = 0.01;
// Share of itself: a readout time is rarely known better (common practice, no source).
constexpr double readout_tolerance = 0.02;
// Rows are read within a frame; frame rates are told to a few per cent.
constexpr double longest_readout = 1.05;  // frames
// Of the frame rate: beyond, a stated frequency would fit any roll.
constexpr double most_roll_off = 0.04;
// Multiples of the stated or the mains frequency that a lamp ripples at most.
constexpr int usual_orders = 4;
// Standard uncertainties within which a frequency fits, and frame rates looked at beside it.
constexpr double fits = 3.0;
constexpr double frames_beside = 1.5;
// A clip without readout at a low frame rate has so many at most.
constexpr int most_candidates = 400;

/// Difference of two rolls, which wrap at half the frame rate.
double apart(double a, double b, double fps) { return arithmetic::alias_hz(a - b, fps); }

std::string why(double hz, const std::optional<MainsMatch>& mains) {
  if (!mains)
    return fmt::format("{} Hz: no multiple of the mains, a dimmer or a driver",
                       words::in_digits_at_most(hz, 5));
  if (mains->order == 1) {
    return fmt::format("{} Hz: the {:g} Hz mains itself", words::in_digits_at_most(hz, 5),
                       mains->mains_hz);
  }
  if (mains->order == 2)
    return fmt::format("{} Hz: twice {:g} Hz mains", words::in_digits_at_most(hz, 5),
                       mains->mains_hz);
  return fmt::format("{} Hz: {} times {:g} Hz mains", words::in_digits_at_most(hz, 5), mains->order,
                     mains->mains_hz);
}

/// How readily a mains-driven light ripples at this multiple: twice the mains is the rule.
int rarity(const std::optional<MainsMatch>& mains) {
  if (!mains) return 3;
  if (mains->order == 2) return 0;
  return mains->order % 2 == 0 ? 1 : 2;
}

}  // namespace

std::optional<MainsMatch> mains_match(double hz, double sd_hz) {
  std::optional<MainsMatch> best;
  double least = 1e9;
  for (const double mains : {50.0, 60.0}) {
    const int order = static_cast<int>(std::lround(hz / mains));
    if (order < 1 || order > highest_mains_order) continue;
    const double allowed = std::hypot(order * default_mains_tolerance_hz(mains), 3.0 * sd_hz);
    const double off = std::abs(hz - order * mains);
    // Even multiples are what rectified mains makes.
    const double badness = off / allowed + (order % 2 == 0 ? 0.0 : 0.5);
    if (off <= allowed && badness < least) {
      least = badness;
      best = MainsMatch{mains, order};
    }
  }
  return best;
}

std::optional<KnownWave> wave_of_light(const std::vector<Wave>& waves, double light_hz,
                                       double fps) {
  const double longest_readout_s = longest_readout / fps;
  for (int order = 1; order <= usual_orders; ++order) {
    for (const bool upwards : {false, true}) {
      if (upwards && order > 1) continue;
      for (std::size_t w = 0; w < waves.size(); ++w) {
        const double hz = order * light_hz;
        const double roll = (upwards ? -1.0 : 1.0) * waves[w].roll * fps;
        const double off = apart(roll, arithmetic::alias_hz(hz, fps), fps);
        const double allowed = std::hypot(std::min(stated_tolerance * hz, most_roll_off * fps),
                                          fits * waves[w].roll_sd * fps);
        if (std::abs(off) > allowed) continue;
        if (waves[w].bands / hz > longest_readout_s) continue;
        return KnownWave{w, hz + off, order, upwards};
      }
    }
  }
  return std::nullopt;
}

std::vector<LightCandidate> light_candidates(const Wave& wave, double fps,
                                             std::optional<double> readout_s) {
  struct Ranked {
    LightCandidate candidate;
    double off;  // in standard uncertainties of the coarse frequency
    int rare;
  };
  std::vector<Ranked> found;
  const double roll = wave.roll * fps;
  const double sd = wave.roll_sd * fps;
  const bool timed = readout_s && *readout_s > 0.0 && wave.bands > 3.0 * wave.bands_sd;
  const double coarse = timed ? wave.bands / *readout_s : 0.0;
  const double coarse_sd =
      timed ? coarse * std::hypot(wave.bands_sd / wave.bands, readout_tolerance) : 0.0;
  const double reach = timed ? std::max(fits * coarse_sd, frames_beside * fps) : 0.0;
  const double highest = timed ? coarse + reach : highest_mains_order * 60.0;
  const double lowest = timed ? coarse - reach : 0.0;
  int most = most_candidates;
  for (double m = std::ceil((std::max(lowest, 1.0) - roll) / fps); most > 0; m += 1.0, --most) {
    const double hz = roll + m * fps;
    if (hz > highest) break;
    const auto mains = mains_match(hz, sd);
    if (!timed) {
      // Without a readout only what lights on the mains usually do is worth a word, and only if
      // the camera could have read its rows within a frame.
      if (!mains || mains->order > usual_orders || wave.bands / hz > longest_readout / fps)
        continue;
    }
    const double off = timed ? std::abs(hz - coarse) / coarse_sd : 0.0;
    found.push_back({{hz, sd, why(hz, mains), false}, off, rarity(mains)});
  }
  if (found.empty()) return {};
  std::sort(found.begin(), found.end(), [](const Ranked& a, const Ranked& b) {
    const bool a_fits = a.off <= fits;
    const bool b_fits = b.off <= fits;
    if (a_fits != b_fits) return a_fits;
    if (a_fits && a.rare != b.rare) return a.rare < b.rare;
    return a.off < b.off;
  });
  const bool decided = found.size() == 1 || found[0].off <= fits || timed;
  const bool rival = !timed && found.size() > 1 && found[1].rare == found[0].rare;
  found.front().candidate.plausible = decided && !rival;
  std::vector<LightCandidate> candidates;
  for (const Ranked& r : found) candidates.push_back(r.candidate);
  return candidates;
}

}  // namespace lampbeat::footage::waves
