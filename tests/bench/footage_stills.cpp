// What tells bands in one photograph from the scene and from painted stripes, and how far the fit's
// uncertainties are off: the figures, beside the limits of footage/waves/still_limits.hpp.
//   bench_footage_stills [photographs] [seed]

#include <fmt/core.h>

#include <cmath>
#include <numbers>
#include <optional>

#include "bench/populations.hpp"
#include "footage/answer/standing_floors.hpp"
#include "footage/rows/cells.hpp"
#include "footage/rows/ratios.hpp"
#include "footage/waves/row_profile.hpp"
#include "footage/waves/standing.hpp"
#include "footage/waves/still_bands.hpp"
#include "footage/waves/still_limits.hpp"
#include "footage/waves/still_survey.hpp"
#include "support/photograph.hpp"

namespace {

using namespace lampbeat::test;
namespace waves = lampbeat::footage::waves;
namespace rows = lampbeat::footage::rows;
using lampbeat::footage::answer::amplitude_by_shading;
using lampbeat::footage::answer::bands_by_shading;

struct Figures {
  Population wall{"bands on a wall"};
  Population room{"bands in a scene"};
  Population steady{"a scene in steady light"};
  Population blind{"a blind from edge to edge"};

  void print(const char* what, double limit) const {
    print_limit(what, limit, {&wall, &room, &steady, &blind});
  }
};

struct All {
  Figures surprise, bands, alike, strips, strip, left, edges, of_light;
  Population bands_over_fit{"bands, in standard uncertainties of the fit"};
  Population depth_over_fit{"depth, the same"};
  Population bands_over_stated{"bands, in stated uncertainties"};
  Population depth_over_stated{"depth, the same"};
  Population bands_by_shading{"bands"};
  Population depth_by_shading{"depth, share of it"};
  int plain_walls = 0;
  int bands_on_plain_walls = 0;
};

struct Seen {
  std::vector<float> scene;
  rows::Cells layout;
};

Seen seen(const PhotographedScene& scene) {
  Photograph photograph(scene);
  rows::FrameReducer reducer(photograph.format(), scene.transfer, true);
  rows::Cells cells = reducer.stretch();
  reducer.add(*photograph.next(), cells);
  const lampbeat::footage::clips::Plane flat(1, cells.rows);
  Seen s{rows::scene_of(cells, flat, {1.0}), reducer.stretch()};
  return s;
}

void compare(const PhotographedScene& scene, const waves::StillTraits& traits,
             const waves::Wave& stated, All& all) {
  const auto& first = scene.light.components.front();
  const double x = std::numbers::pi * first.hz * scene.exposure_s;
  const double bands_off = traits.fit.bands - first.hz * scene.readout_s;
  const double depth_off =
      std::abs(traits.fit.amplitude.front()) - std::abs(first.amplitude * std::sin(x) / x);
  all.bands_over_fit.add(std::abs(bands_off) / traits.fit.bands_sd);
  all.depth_over_fit.add(std::abs(depth_off) / traits.fit.amplitude_sd.front());
  all.bands_over_stated.add(std::abs(bands_off) / stated.bands_sd);
  all.depth_over_stated.add(std::abs(depth_off) / stated.harmonics.front().sd);
}

void look(const PhotographedScene& scene, All& all, Population Figures::*kind) {
  const Seen s = seen(scene);
  const waves::StillSurvey surveyed = waves::survey(s.scene, s.layout);
  if (!surveyed.hidden) return;
  const auto best = waves::best_candidate(surveyed, s.scene, s.layout);
  (all.surprise.*kind).add(best ? best->surprise : 0.0);
  const waves::StillBands still = waves::bands_in_still(s.scene, s.layout);
  (all.of_light.*kind).add(still.found && still.found->like_light ? 1.0 : 0.0);
  if (!best || best->surprise <= waves::surprising) return;
  const waves::StillTraits t = waves::still_traits(*best, s.scene, s.layout);
  if (t.fit.bands < waves::fewest_in_still) return;
  if (t.usable_strips > 0) {
    (all.alike.*kind).add(double(t.alike_strips) / t.usable_strips);
    for (std::size_t strip = 0; strip < t.steps.strips; ++strip) {
      const auto share = waves::share_in_strip(t.steps, t.fit, strip);
      if (share) (all.strip.*kind).add(std::abs(*share - 1.0));
    }
  }
  if (t.alike_strips < waves::most_strips * t.usable_strips) return;
  (all.strips.*kind).add(t.usable_strips);
  (all.bands.*kind).add(t.fit.bands);
  (all.edges.*kind).add(t.edges / std::abs(t.fit.amplitude.front()));
  (all.left.*kind).add(t.fit.left_share);
  if (!scene.light.components.empty() && still.found && still.found->leads) {
    compare(scene, t, still.found->wave, all);
  }
}

/// A room, street or landscape of any make, no stripes among its things.
PhotographedScene drawn_scene(Random& random) {
  PhotographedScene scene = any_scene(random);
  scene.width = 8 * static_cast<int>(between(random, 16.0, 40.0));
  scene.height = 8 * static_cast<int>(between(random, 25.0, 60.0));
  scene.blind_width = 0.0;
  return scene;
}

PhotographedScene drawn_wall(Random& random) {
  PhotographedScene scene = drawn_scene(random);
  scene.texture = between(random, 0.0, 0.04);
  scene.horizon = 0.0;
  scene.things = 0;
  return scene;
}

/// Soft bands of a lamp, one and a half or more.
void light(PhotographedScene& scene, Random& random) {
  const double hz = logarithmic(random, 90.0, 250.0);
  const double depth = logarithmic(random, 0.1, 0.85);
  scene.exposure_s = logarithmic(random, 1.0 / 4000.0, 0.4 / hz);
  scene.readout_s = between(random, 1.3, 8.0) / hz;
  scene.taken_s = between(random, 0.0, 0.02);
  scene.light.components.push_back({hz, depth, 0.0, std::nullopt});
  scene.light.components.push_back(
      {2.0 * hz, between(random, 0.0, 0.3) * depth, between(random, -3.0, 3.0), std::nullopt});
}

/// One wall that the person calls plain: how far shading moves its bands, over the likeness of both
/// (answer/wall_evidence), and whether shading alone passes for bands.
void look_at_wall(PhotographedScene scene, Random& random, All& all) {
  scene.texture = 0.0;
  scene.sky = between(random, -0.4, 0.4);
  scene.width = 128;
  const auto search_of = [](const PhotographedScene& s) {
    const Seen picture = seen(s);
    return waves::find_standing(waves::wall_profile(picture.scene, picture.layout));
  };
  ++all.plain_walls;
  all.bands_on_plain_walls += search_of(scene).wave ? 1 : 0;
  light(scene, random);
  const auto search = search_of(scene);
  const auto& first = scene.light.components.front();
  const double bands = first.hz * scene.readout_s;
  if (!search.wave || std::abs(search.wave->bands - bands) > 1.0) return;
  const double likeness = std::pow(waves::fewest_on_wall / search.wave->bands, 3.0);
  all.bands_by_shading.add(std::abs(search.wave->bands - bands) / likeness);
  const double x = std::numbers::pi * first.hz * scene.exposure_s;
  const double depth = std::abs(first.amplitude * std::sin(x) / x);
  all.depth_by_shading.add(
      std::abs(std::abs(search.wave->harmonics.front().amplitude) / depth - 1.0) / likeness);
}

void print(const All& all) {
  print_heading("photographs");
  all.surprise.print("surprising: -ln of chance", waves::surprising);
  print_heading("of those that surprise");
  all.strip.print("shows: a strip's share, off one", waves::shows);
  all.alike.print("most_strips: share of alike ones", waves::most_strips);
  print_heading("of those that most strips share");
  all.strips.print("fewest_strips: that can tell", waves::fewest_strips);
  all.bands.print("few_in_still: bands", waves::few_in_still);
  all.edges.print("soft_edges: harmonics over the first", waves::soft_edges);
  all.left.print("little_else: left of the scene", waves::little_else);
  all.left.print("leading: the same", waves::leading);
  print_heading("of all");
  all.of_light.print("taken for a light's (1) or not (0)", 0.5);
  print_heading("errors of those that lead");
  print_limit("lean: rms is what it should be", waves::lean,
              {&all.bands_over_fit, &all.depth_over_fit});
  print_limit("three stated uncertainties", 3.0, {&all.bands_over_stated, &all.depth_over_stated});
  print_heading("standing bands on plain walls: errors over the likeness of bands and shading");
  print_limit("bands_by_shading", bands_by_shading, {&all.bands_by_shading});
  print_limit("amplitude_by_shading", amplitude_by_shading, {&all.depth_by_shading});
  fmt::print("of {} plain walls in steady light, bands were seen on {}\n", all.plain_walls,
             all.bands_on_plain_walls);
  for (const Population* p :
       {&all.bands_over_fit, &all.depth_over_fit, &all.bands_over_stated, &all.depth_over_stated}) {
    if (p->size() > 0) fmt::print("rms of {:<48} {:6.2f}\n", p->name(), p->rms());
  }
}

}  // namespace

int main(int count, char** arguments) {
  const Asked asked = asked_for(count, arguments, 400);
  Random random(asked.seed);
  All all;
  for (int i = 0; i < asked.draws; ++i) {
    PhotographedScene wall = drawn_wall(random);
    light(wall, random);
    look(wall, all, &Figures::wall);
    PhotographedScene room = drawn_scene(random);
    light(room, random);
    look(room, all, &Figures::room);
    look_at_wall(drawn_wall(random), random, all);
    look(drawn_scene(random), all, &Figures::steady);
    PhotographedScene blind = i % 2 == 0 ? drawn_scene(random) : drawn_wall(random);
    blind.blind_width = 1.0;
    blind.slats = static_cast<int>(between(random, 2.0, 12.0));
    look(blind, all, &Figures::blind);
  }
  print(all);
  return 0;
}
