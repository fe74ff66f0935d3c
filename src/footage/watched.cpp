#include "footage/watched.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "footage/stretch.hpp"
#include "lampbeat/error.hpp"

namespace lampbeat::footage {

namespace {

// Frames analysed together. Whatever is left at the end joins the last stretch.
constexpr std::size_t stretch_frames = 600;
constexpr std::size_t most_frames = stretch_frames + stretch_frames / 2;
constexpr double most_burnt_out = 0.02;
constexpr double restless = 0.03;

void set_rate(Watched& watched, const FootageSettings& settings) {
  const ClipFormat& format = watched.format;
  watched.rate = settings.fps.value_or(format.fps);
  if (!format.still && watched.rate.numerator == 0) {
    throw InputError(
        fmt::format("{}: its header does not give the frame rate; add it with --fps", format.name));
  }
  watched.fps = format.still ? 0.0 : watched.rate.per_s();
}

/// The first frames of a full stretch; the others stay.
Cells take_stretch(Cells& cells) {
  Cells full = cells;
  const auto end =
      cells.value.begin() + static_cast<std::ptrdiff_t>(stretch_frames * cells.frame_size());
  full.value.assign(cells.value.begin(), end);
  cells.value.erase(cells.value.begin(), end);
  return full;
}

void close_stretch(Watched& watched, const Cells& part) {
  const StretchEstimate estimate = analyse(part);
  watched.combined.add(estimate);
  watched.frame_means.insert(watched.frame_means.end(), estimate.frame_means.begin(),
                             estimate.frame_means.end());
  if (watched.scene.empty()) watched.scene = estimate.scene;
}

}  // namespace

Watched watch(ClipSource& clip, const FootageSettings& settings) {
  Watched watched;
  watched.format = clip.format();
  set_rate(watched, settings);
  FrameReducer reducer(watched.format, settings.transfer,
                       settings.full_range.value_or(watched.format.full_range));
  watched.layout = reducer.stretch();
  Cells cells = reducer.stretch();
  while (const auto* luma = clip.next()) {
    reducer.add(*luma, cells);
    ++watched.frames;
    if (cells.frames() >= most_frames) close_stretch(watched, take_stretch(cells));
  }
  if (watched.frames == 0) {
    throw InputError(fmt::format("{}: holds a header but no frame", watched.format.name));
  }
  close_stretch(watched, cells);
  watched.layout = reducer.stretch();
  watched.burnt_out = reducer.burnt_out_share();
  return watched;
}

Findings picture_faults(const Watched& watched) {
  Findings faults;
  if (watched.burnt_out > most_burnt_out) {
    faults.push_back(
        {"burnt_out",
         fmt::format("{:.0f} % of the picture is burnt out and says nothing about the light; "
                     "expose darker, with the wall at mid-grey.",
                     100.0 * watched.burnt_out)});
  }
  const double moved = std::max(watched.combined.unrest(), watched.combined.scenery());
  if (watched.combined.scenery() > 0.0 || moved > restless) {
    faults.push_back(
        {"restless_view",
         fmt::format(
             "The picture changes by {:.1g} % as no lamp changes it: a moving camera or much "
             "movement in the shot; a tripod and a plain wall measure better.",
             100.0 * moved)});
  }
  const bool dark = std::all_of(watched.scene.begin(), watched.scene.end(),
                                [](float v) { return std::isnan(v); });
  if (dark) {
    faults.push_back(
        {"nothing_to_measure",
         "The picture is black or burnt out nearly everywhere; nothing was measured."});
  }
  return faults;
}

}  // namespace lampbeat::footage
