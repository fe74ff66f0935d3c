// What tells a wrong transfer curve from the right one and from daylight that dilutes bands: how
// unequal bands are over the picture, beside the limits of footage/answer/curve_limits.hpp.
//   bench_footage_curves [clips] [seed]

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <optional>

#include "bench/drawn_clips.hpp"
#include "bench/populations.hpp"
#include "footage/answer/curve_check.hpp"
#include "footage/answer/curve_limits.hpp"
#include "footage/stretches/stretch.hpp"

namespace {

using namespace lampbeat::test;
using lampbeat::Transfer;
namespace answer = lampbeat::footage::answer;
namespace stretches = lampbeat::footage::stretches;

/// A furnished room of bright and dark things whose bands roll.
DrawnClip furnished_room(Random& random) {
  DrawnClip clip = any_clip(random);
  FilmedScene& s = clip.scene;
  s.furnished = true;
  s.level = between(random, 0.12, 0.5);
  s.exposure_s = logarithmic(random, 1.0 / 2000.0, 1.0 / 200.0);
  double turns = 0.0;
  double hz = 0.0;
  while (turns < 2.0) {
    hz = logarithmic(random, 80.0, 330.0);
    const double cycles = hz * s.fps.frame_s();
    turns = std::abs(cycles - std::round(cycles)) * s.seconds * s.fps.per_s();
  }
  s.light.components.push_back(
      {hz, logarithmic(random, 0.05, 0.6), between(random, -3.0, 3.0), std::nullopt});
  return clip;
}

/// Makers differ in what a tenfold of light is, and in how their curve begins.
std::function<double(double)> any_logarithm(Random& random) {
  const double tenfold = between(random, 0.18, 0.32);
  const double toe = between(random, 0.005, 0.04);
  const double grey = between(random, 0.38, 0.5);
  return [=](double light) {
    return grey + tenfold * std::log10((std::max(light, 0.0) + toe) / (0.18 + toe));
  };
}

struct Figures {
  Population right{"its own curve"};
  Population daylight{"its own curve, daylight in the room"};
  Population wrong{"another curve"};
  Population logarithmic{"a camera's logarithmic mode"};

  void print(const char* what, double limit) const {
    print_limit(what, limit, {&right, &daylight, &wrong, &logarithmic});
  }
};

struct All {
  Figures assumed, left, best, own_over_best;
};

/// The known curve that a clip was recorded with.
const answer::Equality& under_own(const answer::Equalities& e, Transfer own) {
  constexpr std::array order = {Transfer::bt709, Transfer::srgb, Transfer::hlg, Transfer::pq,
                                Transfer::linear};
  static_assert(stretches::known_curves[0] == stretches::Curve::bt709 &&
                stretches::known_curves[4] == stretches::Curve::linear);
  return e
      .under[static_cast<std::size_t>(std::find(order.begin(), order.end(), own) - order.begin())];
}

void look(const DrawnClip& clip, Transfer read_by, All& all, Population Figures::*kind) {
  const auto estimate = stretches::analyse(cells_of(clip, {read_by, {}}));
  if (!estimate.curves) return;
  const answer::Equalities e = answer::equalities_of(*estimate.curves);
  if (!e.assumed.tells()) return;
  (all.assumed.*kind).add(e.assumed.misfit);
  if (!e.assumed.contradicts()) return;
  (all.left.*kind).add(e.best().misfit / e.assumed.misfit);
  (all.best.*kind).add(e.best().misfit);
  if (clip.scene.curve) return;
  (all.own_over_best.*kind)
      .add(under_own(e, clip.scene.transfer.kind).misfit / std::max(e.best().misfit, 0.5));
}

}  // namespace

int main(int count, char** arguments) {
  const Asked asked = asked_for(count, arguments, 300);
  Random random(asked.seed);
  All all;
  constexpr std::array curves = {Transfer::bt709, Transfer::srgb, Transfer::hlg, Transfer::linear};
  for (int i = 0; i < asked.draws; ++i) {
    const Transfer own = curves[static_cast<std::size_t>(i) % curves.size()];
    Transfer other = own;
    while (other == own) {
      other = curves[static_cast<std::size_t>(between(random, 0.0, double(curves.size())))];
    }
    DrawnClip clip = furnished_room(random);
    clip.scene.transfer = {own, {}};
    look(clip, own, all, &Figures::right);
    look(clip, other, all, &Figures::wrong);
    DrawnClip camera = furnished_room(random);
    camera.scene.curve = any_logarithm(random);
    look(camera, Transfer::bt709, all, &Figures::logarithmic);
    clip = furnished_room(random);
    clip.scene.transfer = {own, {}};
    clip.scene.daylight = logarithmic(random, 0.05, 2.0);
    clip.scene.level /= 1.0 + clip.scene.daylight;
    look(clip, own, all, &Figures::daylight);
  }
  print_heading("misfit: how unequal bands are over the picture, mean square over chance");
  all.assumed.print("contradicted: under the assumed curve", answer::contradicted);
  print_heading("where the assumed curve is contradicted");
  all.left.print("left_by_right_curve: the best curve's share", answer::left_by_right_curve);
  all.best.print("still_equal: under the best curve", answer::still_equal);
  all.own_over_best.print("as_good: own curve over the best (or 1/2)", answer::as_good);
  return 0;
}
