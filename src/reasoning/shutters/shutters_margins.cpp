#include "reasoning/shutters/shutters_margins.hpp"

#include <algorithm>
#include <cmath>

#include "lampbeat/visibility.hpp"

namespace lampbeat::reasoning::shutters {
namespace {

/// Relative to the clock's frequency: no mains and no resonator strays further.
constexpr double farthest = 0.1;
/// 0.0125 Hz at 50: no grid keeps time better than that, so that no smaller margin is of use.
constexpr double first_step = 2.5e-4;

double fastest_hz(const judge::Judge& judge, bool of_the_mains) {
  double fastest = 0.0;
  for (const judge::Scene& scene : judge.scenes()) {
    for (const judge::MovingSeries& r : scene.rhythms) {
      if ((r.clock == 0) != of_the_mains || r.unexplained) continue;
      fastest = std::max(fastest, r.own_hz);
    }
  }
  return fastest;
}

/// Light that no rhythm explains may show whatever the clocks do.
bool some_unexplained(const judge::Judge& judge) {
  return std::any_of(judge.scenes().begin(), judge.scenes().end(), [](const judge::Scene& scene) {
    return std::any_of(scene.rhythms.begin(), scene.rhythms.end(),
                       [](const judge::MovingSeries& r) { return r.unexplained; });
  });
}

/// A shot with a clock off, to either side.
struct OffClock {
  const judge::Judge& judge;
  const Shot& shot;
  bool mains;

  judge::ClockOffsets by(double offset) const {
    return {mains ? offset : 0.0, mains ? 0.0 : offset};
  }
  /// The visibility by quick looks.
  double worse_side(double offset) const {
    return std::max(judge.glimpse_at(shot.exposure_s, shot.fps, by(-offset)),
                    judge.glimpse_at(shot.exposure_s, shot.fps, by(offset)));
  }
  bool shows(double offset) const {
    return judge.shows_at(shot.exposure_s, shot.fps, by(-offset)) ||
           judge.shows_at(shot.exposure_s, shot.fps, by(offset));
  }
};

/// Between an offset that is clean and one that is not, where the first that is not lies: nearly on
/// a straight line so close to whole cycles.
double closed_in(double good, double bad, double bad_visibility, const OffClock& off) {
  double good_visibility = good > 0.0 ? off.worse_side(good) : 0.0;
  constexpr int most_tries = 4;           // on a nearly straight line each finds a digit
  constexpr double close_enough = 1.005;  // a margin is told in two digits
  constexpr double least_part = 0.05;     // so that both ends move, however bent the line
  for (int i = 0; i < most_tries && bad > close_enough * good; ++i) {
    const double part = (clean_below - good_visibility) / (bad_visibility - good_visibility);
    const double middle = good + std::clamp(part, least_part, 1.0 - least_part) * (bad - good);
    const double there = off.worse_side(middle);
    (there < clean_below ? good : bad) = middle;
    (there < clean_below ? good_visibility : bad_visibility) = there;
  }
  // Quick looks may miss a little.
  while (good > first_step && off.shows(good)) good *= 0.98;
  return good;
}

/// Steps outwards from an offset known to be clean, no further at a time than an eighth of a lobe
/// of the exposure's gain, to the first that is not.
std::optional<double> first_break(double good, double lobe, const OffClock& off) {
  for (double next = std::max(first_step, 1.3 * good); next <= farthest;
       next = std::min(1.3 * next, next + lobe / 8.0)) {
    const double visibility = off.worse_side(next);
    if (visibility >= clean_below) return closed_in(good, next, visibility, off);
    good = next;
  }
  return std::nullopt;
}

/// Flashes of no length, which a light known by its frequency alone may have, show most at offsets
/// that no walk in steps comes upon: its margin is one over all of which the judge finds nothing.
std::optional<double> proved(std::optional<double> margin, const OffClock& off) {
  const bool any_waveform =
      std::any_of(off.judge.scenes().begin(), off.judge.scenes().end(),
                  [](const judge::Scene& scene) { return scene.any_waveform(); });
  if (!any_waveform || !margin) return margin;
  constexpr double next = 0.7;
  constexpr double of_no_use = 1e-9;  // no clock keeps time so well
  double reach = *margin;
  while (reach > of_no_use &&
         !off.judge.reaching(off.by(reach)).clean(off.shot.exposure_s, off.shot.fps)) {
    reach *= next;
  }
  return reach > of_no_use ? reach : 0.0;
}

}  // namespace

Margins margins_of(const Prediction& p, const judge::Judge& judge) {
  Margins margins;
  if (!is_clean(p.nominal)) return margins;
  if (some_unexplained(judge) && judge.shows_at(p.shot.exposure_s, p.shot.fps, {})) return margins;
  const bool clean = is_clean(p.worst);
  if (const double hz = fastest_hz(judge, true); hz > 0.0 && p.mains_hz) {
    const double known = clean ? p.mains_tolerance_hz / *p.mains_hz : 0.0;
    const OffClock mains{judge, p.shot, true};
    const auto off = proved(first_break(known, 1.0 / (hz * p.shot.exposure_s), mains), mains);
    if (off) margins.mains_hz = *off * *p.mains_hz;
  }
  if (const double hz = fastest_hz(judge, false); hz > 0.0) {
    const double known = clean ? 0.01 * p.clock_tolerance_percent.value_or(0.0) : 0.0;
    const OffClock own{judge, p.shot, false};
    const auto off = proved(first_break(known, 1.0 / (hz * p.shot.exposure_s), own), own);
    if (off) margins.clock_percent = 100.0 * *off;
  }
  return margins;
}

}  // namespace lampbeat::reasoning::shutters
