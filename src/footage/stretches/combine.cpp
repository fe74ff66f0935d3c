#include "footage/stretches/combine.hpp"

#include <algorithm>
#include <cmath>

#include "arithmetic/phase.hpp"
#include "footage/stretches/error_floors.hpp"

namespace lampbeat::footage::stretches {

namespace {

// Four times as many as one stretch finds.
constexpr std::size_t most_tracked = 12;
// A rhythm is the same from stretch to stretch when it kept its bands, within four of their
// uncertainties and a seventh of a band, and its roll: 100 Hz moves by 0.4 Hz when mains moves by
// 0.2, at 24 frames a second 0.017 cycles per frame.
constexpr double same_bands = 0.15;
constexpr double same_roll = 0.02;  // cycles per frame
constexpr double same_sds = 4.0;
// Share of the clip: what was seen in less is not what a lamp does that burnt all the time.
constexpr double good_part = 0.4;
// A weight that rounding cannot overflow.
constexpr double least_square = 1e-14;

bool same(const waves::Wave& a, const waves::Wave& b) {
  const double off = arithmetic::wrapped_turns(a.roll - b.roll);
  return std::abs(a.bands - b.bands) < same_bands + same_sds * (a.bands_sd + b.bands_sd) &&
         std::abs(off) < same_roll;
}

double weight_of(double sd) { return 1.0 / std::max(sd * sd, least_square); }

}  // namespace

void Combined::add(const StretchEstimate& stretch) {
  const auto frames = static_cast<double>(stretch.frames);
  frames_ += frames;
  smallest_seen_ = std::max(smallest_seen_, stretch.smallest_seen);
  unrest_ = std::max(unrest_, stretch.unrest);
  scenery_ = std::max(scenery_, stretch.scenery);
  if (stretch.curves) curves_ = curves_ ? joined(*curves_, *stretch.curves) : stretch.curves;
  for (waves::Wave wave : stretch.waves) {
    if (!stretch.uneven) wave = with_floors(std::move(wave), stretch);
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
      for (const waves::Harmonic& h : wave.harmonics) {
        fresh.amplitude.push_back(std::abs(h.amplitude));
        fresh.amplitude_spread.push_back(0.0);
      }
      tracked_.push_back(std::move(fresh));
    }
  }
}

void Combined::merge(Tracked& into, const waves::Wave& wave, double frames) {
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
    waves::Harmonic& own = into.wave.harmonics[i];
    double seen = 0.0;
    double seen_sd = own.sd;
    for (const waves::Harmonic& h : wave.harmonics) {
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

std::vector<waves::Wave> Combined::waves() const {
  std::vector<waves::Wave> result;
  for (const Tracked& t : tracked_) {
    if (t.frames < good_part * frames_) continue;
    waves::Wave wave = t.wave;
    const double count = t.stretches;
    // The larger of what each stretch claims and how much they disagree.
    const auto of_mean = [&](double spread) {
      return count > 1.0 ? std::sqrt(spread / (count - 1.0) / count) : 0.0;
    };
    wave.roll_sd = std::max(1.0 / std::sqrt(t.roll_weight), of_mean(t.roll_spread));
    // The floors are systematic: more stretches do not make them smaller.
    wave.bands_sd = std::max(
        {1.0 / std::sqrt(t.bands_weight), of_mean(t.bands_spread), least_bands_sd(wave.bands)});
    for (std::size_t i = 0; i < wave.harmonics.size(); ++i) {
      waves::Harmonic& h = wave.harmonics[i];
      const double was = std::abs(h.amplitude);
      const double scale = was > 0.0 ? t.amplitude[i] / was : 1.0;
      h.amplitude *= scale;
      h.frame_amplitude *= scale;
      h.sd = std::max({h.sd / std::sqrt(count), of_mean(t.amplitude_spread[i]),
                       least_amplitude_sd(std::abs(h.amplitude))});
    }
    waves::make_customary(wave);
    result.push_back(std::move(wave));
  }
  std::sort(result.begin(), result.end(), [](const waves::Wave& a, const waves::Wave& b) {
    return std::abs(a.strongest().amplitude) > std::abs(b.strongest().amplitude);
  });
  return result;
}

}  // namespace lampbeat::footage::stretches
