#include "footage/rows/watched.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstring>

#include "footage/rows/stretch_times.hpp"
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
  watched.delivered = settings.fps.value_or(format.fps);
  watched.rate = watched.delivered;
  if (!format.still && watched.rate.numerator == 0) {
    throw InputError(
        fmt::format("{}: its header does not give the frame rate; add it with --fps", format.name));
  }
}

/// Frames read and not yet analysed, with what is known of repeats among them.
struct Pending {
  Cells cells;
  std::vector<bool> repeated;
  std::vector<float> last;
  double changed = 0.0;    // sum of the shares of cells that changed, over differing frames
  double differing = 0.0;  // number of those

  void add(const std::vector<float>& frame) {
    const bool same =
        !last.empty() && std::memcmp(frame.data(), last.data(), frame.size() * sizeof(float)) == 0;
    if (!same && !last.empty()) {
      std::size_t other = 0;
      for (std::size_t i = 0; i < frame.size(); ++i) other += frame[i] != last[i] ? 1U : 0U;
      changed += static_cast<double>(other) / static_cast<double>(frame.size());
      differing += 1.0;
    }
    repeated.push_back(same);
    cells.value.insert(cells.value.end(), frame.begin(), frame.end());
    last = frame;
  }

  /// Equal pictures mean something where different ones differ nearly everywhere: under noise, or
  /// when much moves.
  bool judged() const { return differing >= 8.0 && changed >= 0.5 * differing; }

  /// The first frames, out of the others.
  Pending take(std::size_t frames) {
    Pending first = *this;
    const auto values = static_cast<std::ptrdiff_t>(frames * cells.frame_size());
    const auto marks = static_cast<std::ptrdiff_t>(frames);
    first.cells.value.assign(cells.value.begin(), cells.value.begin() + values);
    first.repeated.assign(repeated.begin(), repeated.begin() + marks);
    cells.value.erase(cells.value.begin(), cells.value.begin() + values);
    repeated.erase(repeated.begin(), repeated.begin() + marks);
    return first;
  }
};

void count(std::optional<std::uint64_t>& sum, const std::optional<std::size_t>& more) {
  if (more) sum = sum.value_or(0) + *more;
}

void close_stretch(Watched& watched, const Pending& part) {
  TimedEstimate timed =
      analyse_in_time(part.cells, {part.repeated, part.judged()}, watched.delivered);
  const FrameRate rate = timed.taken_at.value_or(watched.delivered);
  if (watched.taken == 0) {
    watched.rate = rate;
    watched.converted = timed.taken_at.has_value();
  } else if (std::abs(rate.per_s() - watched.rate.per_s()) > 1e-6) {
    watched.uneven = true;
  }
  count(watched.repeated, timed.repeated);
  count(watched.lost, timed.lost);
  watched.uneven = watched.uneven || timed.uneven;
  watched.taken += timed.estimate.frames;
  watched.combined.add(timed.estimate);
  watched.frame_means.insert(watched.frame_means.end(), timed.estimate.frame_means.begin(),
                             timed.estimate.frame_means.end());
  if (watched.scene.empty()) watched.scene = std::move(timed.estimate.scene);
}

}  // namespace

Watched watch(ClipSource& clip, const FootageSettings& settings) {
  Watched watched;
  watched.format = clip.format();
  set_rate(watched, settings);
  FrameReducer reducer(watched.format, settings.transfer,
                       settings.full_range.value_or(watched.format.full_range));
  Pending pending;
  pending.cells = reducer.stretch();
  Cells frame = reducer.stretch();
  while (const auto* luma = clip.next()) {
    frame.value.clear();
    reducer.add(*luma, frame);
    pending.cells.rounding = frame.rounding;
    pending.add(frame.value);
    ++watched.frames;
    if (pending.cells.frames() >= most_frames) close_stretch(watched, pending.take(stretch_frames));
  }
  if (watched.frames == 0) {
    throw InputError(fmt::format("{}: holds a header but no frame", watched.format.name));
  }
  close_stretch(watched, pending);
  if (!watched.format.still) watched.fps = watched.rate.per_s();
  watched.layout = reducer.stretch();
  watched.burnt_out = reducer.burnt_out_share();
  return watched;
}

Findings time_faults(const Watched& watched) {
  Findings faults;
  if (watched.converted) {
    faults.push_back(
        {"repeated_frames",
         fmt::format("{} of {} frames repeat the one before them, in a steady beat: the pictures "
                     "were taken at {:.5g} a second, and everything is measured at that rate.",
                     *watched.repeated, watched.frames, watched.rate.per_s())});
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
         fmt::format("{} frames are missing between {}: the pattern jumps on there as "
                     "far as the lost frames would have moved it, and was measured so.",
                     *watched.lost, watched.frames)});
  }
  if (watched.uneven) {
    faults.push_back(
        {"uneven_frames",
         "The pattern moves unevenly from frame to frame: the frames were not taken one period "
         "apart, and nothing tells when. Depth and number of bands stand, from each frame by "
         "itself; roll, light and readout are not known. Film at a constant frame rate."});
  }
  return faults;
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
