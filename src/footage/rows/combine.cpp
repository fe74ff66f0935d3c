#include "footage/rows/combine.hpp"

#include <algorithm>
#include <cmath>

#include "arithmetic/phase.hpp"

namespace lampbeat::footage {

namespace {

constexpr std::size_t most_tracked = 12;
// A rhythm is the same from stretch to stretch when it kept its bands and, give or take the mains'
// wandering, its roll.
constexpr double same_bands = 0.15;
constexpr double same_roll = 0.02;  // cycles per frame

bool same(const Wave& a, const Wave& b) {
  const double off = arithmetic::wrapped_turns(a.roll - b.roll);
  return std::abs(a.bands - b.bands) < same_bands + 4.0 * (a.bands_sd + b.bands_sd) &&
         std::abs(off) < same_roll;
}

double weight_of(double sd) { return 1.0 / std::max(sd * sd, 1e-14); }

/// What limits a measurement through code values and compression when noise does not: found with
/// clips of known content (tests/footage, tests/cli), relative to the figure.
constexpr double amplitude_floor = 0.007;
constexpr double bands_floor = 0.0015;
// Share of a code step that rounding without dither moves an amplitude by.
constexpr double rounding_left = 0.15;
// Share of what the rows do beside the waves that ends up in their amplitudes.
constexpr double unexplained_left = 0.25;
constexpr double few_bands = 0.75;

/// What the fit cannot know of its errors, found with clips of known content.
void widen(Wave& wave, const StretchEstimate& stretch) {
  const auto frames = static_cast<double>(stretch.frames);
  const double amplitude = std::max(std::abs(wave.strongest().amplitude), 1e-6);
  const double turns = std::max(std::abs(wave.roll) * frames, 0.05);
  const double moved = stretch.unexplained / amplitude;
  const bool few = wave.bands < few_bands;
  // Little more than a turn leans on less evidence; few bands that go round few times are told
  // badly from slow changes of the light on the scene, and very few from their own harmonics.
  double lean = std::max(1.0, 2.25 / (turns * turns));
  if (wave.bands < 2.0) lean += (few ? 6.0 : 1.0) / turns;
  if (few) lean += wave.bands < 0.5 * few_bands ? 5.0 : 1.0;
  const double slow = few ? 0.045 / (turns * turns) : 0.0;
  const double rounding = rounding_left * stretch.rounding;
  wave.bands_sd = std::hypot(std::hypot(wave.bands_sd, slow, (few ? 0.5 : 0.1) * moved),
                             bands_floor * std::max(wave.bands, 0.5) * lean, rounding / amplitude);
  wave.roll_sd =
      std::hypot(wave.roll_sd, 0.002 * lean / frames, (few ? 0.7 : 0.3) * moved / frames);
  for (Harmonic& h : wave.harmonics) {
    h.sd = std::hypot(std::hypot(h.sd, amplitude_floor * std::abs(h.amplitude) * lean), rounding,
                      unexplained_left * stretch.unexplained);
  }
}

}  // namespace

void Combined::add(const StretchEstimate& stretch) {
  const auto frames = static_cast<double>(stretch.frames);
  frames_ += frames;
  smallest_seen_ = std::max(smallest_seen_, stretch.smallest_seen);
  unrest_ = std::max(unrest_, stretch.unrest);
  scenery_ = std::max(scenery_, stretch.scenery);
  curves_.add(stretch.curves);
  for (Wave wave : stretch.waves) {
    if (!stretch.uneven) widen(wave, stretch);
    const auto known = std::find_if(tracked_.begin(), tracked_.end(),
                                    [&](const Tracked& t) { return same(t.wave, wave); });
    if (known != tracked_.end()) {
      merge(*known, wave, frames);
    } else if (tracked_.size() < most_tracked) {
      Tracked fresh;
      fresh.wave = wave;
      fresh.frames = frames;
      fresh.stretches = 1.0;
      fresh.roll_weight = weight_of(wave.roll_sd);
      fresh.bands_weight = weight_of(wave.bands_sd);
      for (const Harmonic& h : wave.harmonics) {
        fresh.amplitude.push_back(std::abs(h.amplitude));
        fresh.amplitude_spread.push_back(0.0);
      }
      tracked_.push_back(std::move(fresh));
    }
  }
}

void Combined::merge(Tracked& into, const Wave& wave, double frames) {
  into.stretches += 1.0;
  const double share = frames / (into.frames + frames);
  const auto running = [&](double& mean, double& weight, double& spread, double value, double sd) {
    const double added = weight_of(sd);
    const double before = mean;
    weight += added;
    mean += (value - mean) * added / weight;
    spread += (value - before) * (value - mean);
  };
  double roll = wave.roll;
  roll -= std::round(roll - into.wave.roll);  // across ±½
  running(into.wave.roll, into.roll_weight, into.roll_spread, roll, wave.roll_sd);
  running(into.wave.bands, into.bands_weight, into.bands_spread, wave.bands, wave.bands_sd);
  for (std::size_t i = 0; i < into.wave.harmonics.size(); ++i) {
    Harmonic& own = into.wave.harmonics[i];
    double seen = 0.0;
    double seen_sd = own.sd;
    for (const Harmonic& h : wave.harmonics) {
      if (h.order == own.order) {
        seen = std::abs(h.amplitude);
        seen_sd = h.sd;
      }
    }
    const double before = into.amplitude[i];
    into.amplitude[i] += share * (seen - before);
    into.amplitude_spread[i] += (seen - before) * (seen - into.amplitude[i]);
    own.sd += share * (seen_sd - own.sd);
  }
  into.frames += frames;
}

std::vector<Wave> Combined::waves() const {
  std::vector<Wave> result;
  for (const Tracked& t : tracked_) {
    if (t.frames < 0.4 * frames_) continue;
    Wave wave = t.wave;
    const double count = t.stretches;
    // The larger of what each stretch claims and how much they disagree.
    const auto of_mean = [&](double spread) {
      return count > 1.0 ? std::sqrt(spread / (count - 1.0) / count) : 0.0;
    };
    wave.roll_sd = std::max(1.0 / std::sqrt(t.roll_weight), of_mean(t.roll_spread));
    // The floors are systematic: more stretches do not make them smaller.
    wave.bands_sd = std::max({1.0 / std::sqrt(t.bands_weight), of_mean(t.bands_spread),
                              bands_floor * std::max(wave.bands, 0.5)});
    for (std::size_t i = 0; i < wave.harmonics.size(); ++i) {
      Harmonic& h = wave.harmonics[i];
      const double was = std::abs(h.amplitude);
      const double scale = was > 0.0 ? t.amplitude[i] / was : 1.0;
      h.amplitude *= scale;
      h.frame_amplitude *= scale;
      h.sd = std::max({h.sd / std::sqrt(count), of_mean(t.amplitude_spread[i]),
                       amplitude_floor * std::abs(h.amplitude)});
    }
    make_customary(wave);
    result.push_back(std::move(wave));
  }
  std::sort(result.begin(), result.end(), [](const Wave& a, const Wave& b) {
    return std::abs(a.strongest().amplitude) > std::abs(b.strongest().amplitude);
  });
  return result;
}

}  // namespace lampbeat::footage
