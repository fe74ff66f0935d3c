#include "reasoning/judge/judge.hpp"

#include <algorithm>

#include "lampbeat/visibility.hpp"
#include "reasoning/bands/flash_train.hpp"
#include "reasoning/bands/frame_light.hpp"
#include "reasoning/bands/recorded.hpp"
#include "reasoning/bands/residue.hpp"
#include "reasoning/judge/search.hpp"

namespace lampbeat::reasoning::judge {
namespace {

/// What an exposure leaves of the rhythms while every clock keeps its time.
std::vector<mixture::Series> rows_at_rest(const Scene& scene, double exposure_s) {
  const Offsets none(scene.clocks.size(), 0.0);
  std::vector<mixture::Series> rows;
  for (const MovingSeries& r : scene.rhythms) {
    if (r.unexplained) continue;
    bands::add_exposed(rows, fundamental_hz(r, none), r.harmonics, r.any_waveform, exposure_s);
  }
  return rows;
}

/// What no rhythm explains has no clock, and stays in the middle of its band.
std::vector<double> spread(const Scene& scene, ClockOffsets offsets) {
  std::vector<double> each(scene.clocks.size(), 0.0);
  for (const MovingSeries& r : scene.rhythms) {
    if (!r.unexplained) each[r.clock] = offsets.free;
  }
  each[0] = offsets.mains;
  return each;
}

/// The envelope of the two; the pattern described is that of the more visible.
void widen(Recorded& worst, const Recorded& other) {
  Recorded both = other.visibility > worst.visibility ? other : worst;
  both.pulse_hz = other.pulse_visibility > worst.pulse_visibility ? other.pulse_hz : worst.pulse_hz;
  for (const Figure figure :
       {&Recorded::band_percent, &Recorded::band_stops, &Recorded::pulse_percent,
        &Recorded::band_visibility, &Recorded::pulse_visibility, &Recorded::visibility}) {
    both.*figure = std::max(worst.*figure, other.*figure);
  }
  both.verdict = std::max(worst.verdict, other.verdict);
  worst = both;
}

}  // namespace

Judge::Judge(std::span<const LightShare> lights, std::optional<double> mains_hz,
             const Tolerances& tolerances, std::optional<double> readout_s, int rows,
             const Viewing& viewing)
    : Judge(scenes_of(lights, mains_hz, tolerances), readout_s, rows, viewing) {}

Judge::Judge(std::vector<Scene> scenes, std::optional<double> readout_s, int rows,
             const Viewing& viewing)
    : scenes_(std::move(scenes)), readout_s_(readout_s), rows_(rows), weights_(viewing) {}

Nominal Judge::nominal(double exposure_s, FrameRate fps) const {
  const Shot shot = this->shot(exposure_s, fps);
  std::optional<Nominal> highest;
  for (const Scene& scene : scenes_) {
    if (scene.worst_case_only) continue;
    const std::vector<mixture::Series> rows = rows_at_rest(scene, exposure_s);
    const std::vector<mixture::Series> frames = bands::after_frame_mean(rows, shot);
    const bands::SamplePair of_rows = bands::widest_in_frame(rows, shot, bands::Effort::full);
    // The pair shows how it looks; of a light known by its frequency alone it is not the widest.
    const double among_rows = mixture::some_any_waveform(rows)
                                  ? bands::contrast_in_frame(rows, shot, bands::Effort::full)
                                  : of_rows.contrast;
    const double among_frames = bands::contrast_in_clip(rows, frames, shot, bands::Effort::full);
    Recorded r = bands::recorded(rows, frames, {among_rows, among_frames}, shot, weights_.eye());
    r.mains_hz = scene.mains_hz;
    if (highest && r.visibility <= highest->figures.visibility) continue;
    highest = {r, bands::frame_light(rows, of_rows, shot)};
  }
  return *highest;
}

Worst Judge::worst(double exposure_s, FrameRate fps, const Recorded& nominal) const {
  Worst worst{nominal, {}};
  for (const Scene& scene : scenes_) {
    Search search(scene, shot(exposure_s, fps), weights_);
    for (const Figure figure : {&Recorded::band_visibility, &Recorded::band_percent,
                                &Recorded::pulse_visibility, &Recorded::pulse_percent}) {
      if (search.ceiling(figure) <= worst.figures.*figure) continue;
      const Recorded there = search.peak(figure);
      if (there.visibility > worst.figures.visibility) worst.state = scene.state;
      widen(worst.figures, there);
    }
  }
  return worst;
}

double Judge::worst_visibility(double exposure_s, FrameRate fps) const {
  double highest = 0.0;
  for (const Scene& scene : scenes_) {
    const Shot shot = this->shot(exposure_s, fps);
    const Looks looks = looks_over(scene, exposure_s, fps);
    // What shows at rest, or where most is left, needs no search for the worst.
    const std::vector<Offsets> telling = {looks.all.front(), looks.all[looks.fullest]};
    const double seen = Search(scene, telling, shot, weights_).plainly_above(clean_below);
    if (seen >= clean_below) return seen;
    Search search(scene, looks, shot, weights_);
    highest = std::max(highest, search.visibility(clean_below));
    if (highest >= clean_below) return highest;
  }
  // The search for the highest percentages comes upon heights that this one missed, of drawn shots
  // by a tenth and by more than a quarter: what is that near to being seen is asked as `worst`
  // asks.
  constexpr double near = 0.3;
  if (highest < near * clean_below) return highest;
  return std::max(highest,
                  worst(exposure_s, fps, nominal(exposure_s, fps).figures).figures.visibility);
}

bool Judge::clean(double exposure_s, FrameRate fps) const {
  return worst_visibility(exposure_s, fps) < clean_below;
}

double Judge::glimpse_at(double exposure_s, FrameRate fps, ClockOffsets offsets) const {
  double highest = 0.0;
  for (const Scene& scene : scenes_) {
    Search search(scene, std::vector<Offsets>{spread(scene, offsets)}, shot(exposure_s, fps),
                  weights_);
    for (const Figure figure : {&Recorded::band_visibility, &Recorded::pulse_visibility}) {
      double there = search.ceiling(figure);
      if (there >= clean_below) there = search.peak(figure, bands::Effort::quick).*figure;
      highest = std::max(highest, there);
    }
  }
  return highest;
}

bool Judge::shows_at(double exposure_s, FrameRate fps, ClockOffsets offsets) const {
  return std::any_of(scenes_.begin(), scenes_.end(), [&](const Scene& scene) {
    Search search(scene, std::vector<Offsets>{spread(scene, offsets)}, shot(exposure_s, fps),
                  weights_);
    // Ceilings are good enough to find out where to look, not to leave a look out.
    const auto shows = [&](Figure figure) { return search.peak(figure).*figure >= clean_below; };
    return shows(&Recorded::band_visibility) || shows(&Recorded::pulse_visibility);
  });
}

Judge Judge::reaching(ClockOffsets reach) const {
  Judge judge = *this;
  for (Scene& scene : judge.scenes_) {
    for (const MovingSeries& r : scene.rhythms) {
      if (!r.unexplained) scene.clocks[r.clock] = {-reach.free, reach.free};
    }
    scene.clocks[0] = {-reach.mains, reach.mains};
  }
  return judge;
}

Judge Judge::scaled(double scale) const {
  Judge judge = *this;
  for (Scene& scene : judge.scenes_) {
    for (MovingSeries& r : scene.rhythms) {
      for (std::size_t i = 0; i < r.harmonics.size(); ++i) {
        r.harmonics[i].amplitude *= scale;
        r.strengths[i] *= scale;
      }
      r.swing.scale(scale);
    }
  }
  return judge;
}

}  // namespace lampbeat::reasoning::judge
