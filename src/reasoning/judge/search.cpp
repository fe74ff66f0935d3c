#include "reasoning/judge/search.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "lampbeat/visibility.hpp"
#include "reasoning/bands/flash_train.hpp"
#include "reasoning/bands/residue.hpp"

namespace lampbeat::reasoning::judge {
namespace {

/// A quick look may miss a few per cent of the value.
constexpr double quick_error = 1.1;
/// Looks with a high ceiling that are tried for the highest figure.
constexpr int most_tries = 16;
/// From look to look the figure's part of its ceiling (how the harmonics add up) changes slowly: it
/// is taken to rise by no more than this above the highest part met so far.
constexpr double rise_of_part = 1.15;

/// The offset of the free-running clock that leaves most of its light there.
double clock_percent_at(const Scene& scene, const Offsets& offsets, double exposure_s) {
  double strongest = 0.0;
  double percent = 0.0;
  for (const MovingSeries& r : scene.rhythms) {
    if (r.clock == 0 || r.unexplained) continue;
    const Swing left = r.swing.at(fundamental_hz(r, offsets) * exposure_s);
    if (left.up + left.down <= strongest) continue;
    strongest = left.up + left.down;
    percent = 100.0 * offsets[r.clock];
  }
  return percent;
}

}  // namespace

Search::Search(const Scene& scene, const Shot& shot, const Weights& weights)
    : Search(scene, looks_over(scene, shot.exposure_s, shot.fps), shot, weights) {}

Search::Search(const Scene& scene, Looks looks, const Shot& shot, const Weights& weights)
    : Search(scene, looks.all, shot, weights) {
  // The grid follows the strongest line; another may peak beside it.
  constexpr int refinements = 2;
  for (int i = 0; i < refinements && looks.all.size() > 1; ++i) {
    const std::vector<Offsets> finer =
        looks_between(looks.all, by_ceiling(&Recorded::visibility).front());
    add(finer);
    looks.all.insert(looks.all.end(), finer.begin(), finer.end());
  }
}

Search::Search(const Scene& scene, const std::vector<Offsets>& looks, const Shot& shot,
               const Weights& weights)
    : scene_(scene), shot_(shot), weights_(weights), ceilings_(scene, shot, weights) {
  add(looks);
}

void Search::add(const std::vector<Offsets>& looks) {
  places_.reserve(places_.size() + looks.size());
  for (const Offsets& offsets : looks) {
    Place place;
    place.offsets = offsets;
    place.ceiling = ceilings_.at(offsets);
    places_.push_back(std::move(place));
  }
}

void Search::expose(Place& place) const {
  if (place.exposed) return;
  place.exposed = true;
  place.rows.reserve(scene_.rhythms.size());
  for (const MovingSeries& r : scene_.rhythms) {
    bands::add_exposed(place.rows, fundamental_hz(r, place.offsets), r.harmonics, r.any_waveform,
                       shot_.exposure_s);
  }
  place.frames = bands::after_frame_mean(place.rows, shot_);
}

double Search::ceiling(Figure figure) const {
  double highest = 0.0;
  for (const Place& place : places_) highest = std::max(highest, place.ceiling.*figure);
  return highest;
}

std::vector<std::size_t> Search::by_ceiling(Figure figure) const {
  std::vector<std::size_t> order(places_.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return places_[a].ceiling.*figure > places_[b].ceiling.*figure;
  });
  return order;
}

double Search::visibility(double enough) {
  double highest = 0.0;
  for (const Figure figure : {&Recorded::band_visibility, &Recorded::pulse_visibility}) {
    const double most = ceiling(figure);
    if (most < enough) {
      highest = std::max(highest, most);
      continue;
    }
    Place& first = places_[by_ceiling(figure).front()];
    const double quick = value_at(first, figure, bands::Effort::quick);
    if (quick > quick_error * enough) return quick;
    highest = std::max(highest, peak(figure).*figure);
  }
  return highest;
}

/// From one pair of rows, which is no more than the widest.
double Search::bands_at_least(Place& place) const {
  expose(place);
  if (place.rows.empty()) return 0.0;
  const double contrast =
      bands::telling_contrast(place.rows, shot_.rows - 1, shot_.readout_s / shot_.rows);
  return bands::visible_at_least(contrast, place.rows, shot_, weights_.eye());
}

double Search::plainly_above(double enough) {
  for (Place& place : places_) {
    if (place.ceiling.band_visibility < quick_error * enough) continue;
    const double least = bands_at_least(place);
    if (least > quick_error * enough) return least;
  }
  for (const Figure figure : {&Recorded::band_visibility, &Recorded::pulse_visibility}) {
    for (Place& place : places_) {
      if (place.ceiling.*figure < quick_error * enough) continue;
      const double quick = value_at(place, figure, bands::Effort::quick);
      if (quick > quick_error * enough) return quick;
    }
  }
  return 0.0;
}

Recorded Search::peak(Figure figure, bands::Effort effort) {
  Place* highest = nullptr;
  double value = -1.0;
  double part = 0.0;
  int tries = 0;
  for (const std::size_t i : by_ceiling(figure)) {
    Place& place = places_[i];
    const double ceiling = place.ceiling.*figure;
    if (highest && (ceiling * std::min(1.0, rise_of_part * part) <= value || tries >= most_tries)) {
      break;
    }
    const double here = value_at(place, figure, bands::Effort::quick);
    ++tries;
    if (ceiling > 0.0) part = std::max(part, here / ceiling);
    if (here <= value) continue;
    value = here;
    highest = &place;
  }
  Recorded r = recorded_at(*highest, figure, effort);
  if (scene_.mains_hz) r.mains_hz = *scene_.mains_hz * (1.0 + highest->offsets[0]);
  r.clock_percent = clock_percent_at(scene_, highest->offsets, shot_.exposure_s);
  return r;
}

double Search::rows_contrast(Place& place, bands::Effort effort) const {
  std::optional<double>& known = place.among_rows[effort == bands::Effort::full];
  if (!known) known = bands::contrast_in_frame(place.rows, shot_, effort);
  return *known;
}

double Search::frames_contrast(Place& place, bands::Effort effort) const {
  std::optional<double>& known = place.among_frames[effort == bands::Effort::full];
  if (!known) known = bands::contrast_in_clip(place.rows, place.frames, shot_, effort);
  return *known;
}

Recorded Search::recorded_at(Place& place, Figure figure, bands::Effort effort) const {
  expose(place);
  if (figure == &Recorded::pulse_percent || figure == &Recorded::pulse_visibility) {
    return figures(place, {0.0, frames_contrast(place, effort)});
  }
  return figures(place, {rows_contrast(place, effort), 0.0});
}

/// A contrast or a visibility: one is known before anybody looks at it, the other of itself.
double Search::value_at(Place& place, Figure figure, bands::Effort effort) const {
  expose(place);
  if (figure == &Recorded::band_percent) return 100.0 * rows_contrast(place, effort);
  if (figure == &Recorded::pulse_percent) return 100.0 * frames_contrast(place, effort);
  return figure == &Recorded::band_visibility
             ? bands::seen_bands(rows_contrast(place, effort), place.rows, shot_, weights_.eye())
             : bands::seen_pulsing(frames_contrast(place, effort), place.frames, shot_,
                                   weights_.eye());
}

Recorded Search::figures(const Place& place, bands::Contrasts contrasts) const {
  return bands::recorded(place.rows, place.frames, contrasts, shot_, weights_.eye());
}

}  // namespace lampbeat::reasoning::judge
