#include "footage/answer/faults.hpp"

#include "words/numbers.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace lampbeat::footage::answer {

namespace {

// Share of the pixels: a lamp or a small window in the picture is as much.
constexpr double most_burnt_out = 0.02;
// Share of the light: less is what a person in a few of the strips leaves in the rows' medians.
constexpr double restless = 0.03;

}  // namespace

Findings time_faults(const stretches::Watched& watched) {
  Findings faults;
  if (watched.converted) {
    faults.push_back(
        {"repeated_frames",
         fmt::format("{} of {} frames repeat the one before them, in a steady beat: the pictures "
                     "were taken at {} a second, and everything is measured at that rate.",
                     *watched.repeated, watched.frames,
                     words::in_digits_at_most(watched.rate->per_s(), 5))});
  } else if (watched.repeated.value_or(0) > 0) {
    faults.push_back(
        {"repeated_frames",
         fmt::format("{} of {} frames repeat the one before them, as where a frame was "
                     "lost; they were left out.",
                     *watched.repeated, watched.frames)});
  }
  if (watched.lost.value_or(0) > 0) {
    faults.push_back(
        {"dropped_frames",
         fmt::format("{} frames are missing between {}: {}, and was measured so.", *watched.lost,
                     watched.frames,
                     watched.gaps == *watched.lost
                         ? "the file's own times leave their places empty; the pattern moves on "
                           "meanwhile"
                         : "the pattern jumps on there as far as the lost frames would have moved "
                           "it")});
  }
  if (watched.uneven_by_file) {
    faults.push_back(
        {"uneven_frames",
         "By the file's own times the frames were not taken one period apart, as where a telephone "
         "lengthens its exposures in dim light. Depth and number of bands stand, from each frame "
         "by itself; roll, light and readout are not known. Film at a constant frame rate."});
  } else if (watched.uneven) {
    faults.push_back(
        {"uneven_frames",
         "The pattern moves unevenly from frame to frame: the frames were not taken one period "
         "apart, and nothing tells when. Depth and number of bands stand, from each frame by "
         "itself; roll, light and readout are not known. Film at a constant frame rate."});
  }
  return faults;
}

Findings picture_faults(const stretches::Watched& watched) {
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
         fmt::format("The picture changes by {} % as no lamp changes it: a moving camera or much "
                     "movement in the shot; a tripod and a plain wall measure better.",
                     words::in_digits_at_most(100.0 * moved, 1))});
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

}  // namespace lampbeat::footage::answer
