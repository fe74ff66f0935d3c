// What tells a lamp's bands in a clip from what a moving camera carries past: the figures each wave
// is judged by, of lamps and of scenery, beside the limits of footage/stretches/lamp_limits.hpp.
//   bench_footage_lamps [clips] [seed]
//
// Each figure is that of the waves that come as far as its limit is asked, the last two of all. A
// wave counts as a lamp's where it rolls and bands as one of the lamps in the clip must.

#include <fmt/core.h>

#include <cmath>
#include <optional>

#include "arithmetic/phase.hpp"
#include "bench/drawn_clips.hpp"
#include "bench/populations.hpp"
#include "footage/stretches/error_floors.hpp"
#include "footage/stretches/lamp_limits.hpp"
#include "footage/stretches/lamp_waves.hpp"
#include "footage/stretches/separation.hpp"

namespace {

using namespace lampbeat::test;
namespace stretches = lampbeat::footage::stretches;
namespace waves = lampbeat::footage::waves;

/// Cycles off, of roll over the clip and of bands over the picture, at which a wave is still that
/// of a lamp.
constexpr double same_turns = 0.7;
constexpr double same_bands = 0.35;

/// Cycles by which a wave is off the lamp's: of bands over the picture, of roll over the clip.
struct Off {
  double bands = 0.0;
  double turns = 0.0;
};

std::optional<Off> off_a_lamp(const waves::Wave& wave, const FilmedScene& scene,
                              std::size_t frames) {
  for (const auto& c : scene.light.components) {
    for (const double side : {1.0, -1.0}) {
      const double roll = side * wave.roll - c.hz * scene.fps.frame_s();
      const Off off{
          std::abs(side * wave.bands - c.hz * scene.readout_s),
          std::abs(lampbeat::arithmetic::wrapped_turns(roll)) * static_cast<double>(frames)};
      if (off.turns < same_turns && off.bands < same_bands) return off;
    }
  }
  return std::nullopt;
}

/// A figure of lamps before a standing view, of lamps before a moving one, and of scenery.
struct Three {
  Population standing{"lamps, the view stands"};
  Population moving{"lamps, the view moves"};
  Population scenery{"what a moving camera carries past"};
  Population bustle{"what else moves before a standing one"};
};

enum class Kind { lamp_standing, lamp_moving, scenery, bustle };

void add(Three& to, Kind kind, double value) {
  (kind == Kind::lamp_standing ? to.standing
   : kind == Kind::lamp_moving ? to.moving
   : kind == Kind::scenery     ? to.scenery
                               : to.bustle)
      .add(value);
}

void print(const char* what, double limit, const Three& of) {
  print_limit(what, limit, {&of.standing, &of.moving, &of.scenery, &of.bustle});
}

struct Figures {
  Three pulse_turns, turns, rows_quick, rows_slow, uneven, rows_undisturbed, cells;
  Three disagreement_undisturbed, disagreement_standing, disagreement_moving, disagreement, passed;
  Population bands_by_unrest{"bands, many"};
  Population few_by_unrest{"bands, fewer than enough"};
  Population turns_by_unrest{"turns of many bands"};
  Population turns_of_few_by_unrest{"turns of few"};
};

/// The order of stretches::is_of_a_lamp.
void add(Figures& f, Kind kind, const stretches::WaveTraits& t, const stretches::Beside& beside) {
  using namespace stretches;
  const double amplitude = std::abs(t.wave.strongest().amplitude);
  if (t.wave.bands < std::max(3.0 * t.wave.bands_sd, whole_frames)) {
    add(f.pulse_turns, kind, t.turns);
    if (t.turns < quick_pulse) return;
  }
  add(f.passed, kind, is_of_a_lamp(t, beside) ? 1.0 : 0.0);
  const bool slow = t.turns < few_turns;
  add(f.turns, kind, t.turns);
  add(f.disagreement, kind, t.disagreement);
  add(slow ? f.rows_slow : f.rows_quick, kind, beside.rows / amplitude);
  if (beside.rows > (slow ? most_unexplained_slow : most_unexplained) * amplitude) return;
  if (t.wave.bands < enough_bands) {
    add(f.uneven, kind, beside.cells_uneven / amplitude);
    if (beside.cells_uneven > most_uneven * amplitude) return;
  }
  add(f.rows_undisturbed, kind, beside.rows / amplitude);
  if (beside.rows <= little_unexplained * amplitude) {
    add(f.disagreement_undisturbed, kind, t.disagreement);
    return;
  }
  add(f.cells, kind, beside.cells / amplitude);
  if (beside.cells <= still_view * amplitude) {
    add(f.disagreement_standing, kind, t.disagreement);
  } else if (!slow) {
    add(f.disagreement_moving, kind, t.disagreement);
  }
}

/// What the rows do beside a lamp's wave moves its bands and its roll.
void add(Figures& f, const Off& off, const stretches::WaveTraits& t,
         const stretches::Beside& beside) {
  const double moved = beside.rows / std::abs(t.wave.strongest().amplitude);
  if (moved < 0.03) return;
  const bool few = t.wave.bands < stretches::enough_bands;
  (few ? f.few_by_unrest : f.bands_by_unrest).add(off.bands / moved);
  (few ? f.turns_of_few_by_unrest : f.turns_by_unrest).add(off.turns / moved);
}

void print(const Figures& f) {
  print_heading("waves in the order of lamp_limits.hpp, shares of the wave's amplitude");
  print("quick_pulse: turns of whole frames", stretches::quick_pulse, f.pulse_turns);
  print("few_turns: turns in the stretch", stretches::few_turns, f.turns);
  print("most_unexplained: rows beside a quick wave", stretches::most_unexplained, f.rows_quick);
  print("most_unexplained_slow: beside a slow one", stretches::most_unexplained_slow, f.rows_slow);
  print("most_uneven: cells beside few bands", stretches::most_uneven, f.uneven);
  print("little_unexplained: rows", stretches::little_unexplained, f.rows_undisturbed);
  print("2 * most_disagreement: rows undisturbed", 2.0 * stretches::most_disagreement,
        f.disagreement_undisturbed);
  print("still_view: cells, rows disturbed", stretches::still_view, f.cells);
  print("most_disagreement: the view stands", stretches::most_disagreement,
        f.disagreement_standing);
  print("most_of_moving: disagreement, the view moves", stretches::most_of_moving,
        f.disagreement_moving);
  print("most_disagreement: of all waves", stretches::most_disagreement, f.disagreement);
  print("taken for a lamp's (1) or not (0)", 0.5, f.passed);
  print_heading("cycles off, over what rows do beside the wave (a share of its amplitude)");
  print_limit("of_many_bands.bands", stretches::of_many_bands.bands, {&f.bands_by_unrest});
  print_limit("of_few_bands.bands", stretches::of_few_bands.bands, {&f.few_by_unrest});
  print_limit("of_many_bands.turns", stretches::of_many_bands.turns, {&f.turns_by_unrest});
  print_limit("of_few_bands.turns", stretches::of_few_bands.turns, {&f.turns_of_few_by_unrest});
}

void watch(const DrawnClip& clip, bool moves, Figures& figures) {
  const lampbeat::footage::rows::Cells cells = cells_of(clip);
  const stretches::StretchTraits traits = stretches::traits_of(cells, stretches::separated(cells));
  for (const stretches::WaveTraits& t : traits.waves) {
    const auto off = off_a_lamp(t.wave, clip.scene, cells.frames());
    if (off && stretches::is_of_a_lamp(t, traits.beside)) add(figures, *off, t, traits.beside);
    const Kind kind = off     ? moves ? Kind::lamp_moving : Kind::lamp_standing
                      : moves ? Kind::scenery
                              : Kind::bustle;
    add(figures, kind, t, traits.beside);
  }
}

}  // namespace

int main(int count, char** arguments) {
  const Asked asked = asked_for(count, arguments, 400);
  Random random(asked.seed);
  Figures figures;
  for (int i = 0; i < asked.draws; ++i) {
    DrawnClip standing = any_clip(random);
    add_bustle(standing.scene, random);
    if (i % 4 > 0) add_lamp(standing.scene, random, mains_hz(random));
    if (i % 4 == 3) add_lamp(standing.scene, random, logarithmic(random, 80.0, 400.0));
    watch(standing, false, figures);

    for (const bool lit_by_a_lamp : {false, true}) {
      DrawnClip moving = any_clip(random);
      move_camera(moving.scene, all_moves[static_cast<std::size_t>(i) % all_moves.size()], random);
      if (lit_by_a_lamp) add_lamp(moving.scene, random, mains_hz(random));
      watch(moving, true, figures);
    }
  }
  print(figures);
  return 0;
}
