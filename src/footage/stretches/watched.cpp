#include "footage/stretches/watched.hpp"

#include <fmt/format.h>

#include <cmath>

#include "footage/rows/small_picture.hpp"
#include "footage/stretches/frame_clock.hpp"
#include "footage/stretches/pending.hpp"
#include "footage/stretches/stretch_times.hpp"
#include "lampbeat/error.hpp"

namespace lampbeat::footage::stretches {

namespace {

// Frames analysed together: 20 s at 30 a second, over which mains hardly wanders and which take 12
// MB of cells at most. Whatever is left at the end joins the last stretch.
constexpr std::size_t stretch_frames = 600;
constexpr std::size_t most_frames = stretch_frames + stretch_frames / 2;

void set_rate(Watched& watched, const FootageSettings& settings) {
  const ClipFormat& format = watched.format;
  watched.delivered = settings.fps ? settings.fps : format.fps;
  watched.rate = watched.delivered;
  if (!format.still && !watched.rate) {
    throw InputError(
        fmt::format("{}: its header does not give the frame rate; add it with --fps", format.name));
  }
}

void count(std::optional<std::uint64_t>& sum, const std::optional<std::size_t>& more) {
  if (more) sum = sum.value_or(0) + *more;
}

void close_stretch(Watched& watched, const Pending& part, bool even) {
  TimedEstimate timed =
      even ? analyse_in_time(part.cells(), {part.repeated(), part.judged()}, watched.delivered)
           : analyse_untimed(part.cells());
  watched.uneven_by_file = watched.uneven_by_file || !even;
  const auto rate = timed.taken_at ? timed.taken_at : watched.delivered;
  if (watched.taken == 0) {
    watched.rate = rate;
    watched.converted = timed.taken_at.has_value();
  } else if (rate && std::abs(rate->per_s() - watched.rate->per_s()) > 1e-6) {
    watched.uneven = true;
  }
  count(watched.repeated, timed.repeated);
  count(watched.lost, timed.lost);
  watched.uneven = watched.uneven || timed.uneven;
  watched.course.push_back(
      {watched.taken, watched.taken + timed.estimate.frames, timed.estimate.waves});
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
  const bool full_range = settings.full_range.value_or(watched.format.full_range);
  rows::FrameReducer reducer(watched.format, settings.transfer, full_range);
  Pending pending(reducer.stretch());
  FrameClock clock;
  while (const auto* luma = clip.next()) {
    const std::vector<float>& frame = reducer.reduced(*luma);
    if (watched.frames == 0) {
      watched.first_frame = frame;
      watched.picture = rows::small_picture(*luma, watched.format, full_range);
    }
    const std::size_t missing = clock.missing_before(clip.period());
    watched.gaps += missing;
    for (std::size_t gap = 0; gap < missing; ++gap) pending.add_gap();
    pending.add(frame, reducer.stretch().rounding);
    ++watched.frames;
    while (pending.cells().frames() >= most_frames) {
      const bool even = clock.even();
      close_stretch(watched, pending.take(stretch_frames), even);
      clock.begin_stretch();
    }
  }
  if (watched.frames == 0) {
    throw InputError(fmt::format("{}: holds a header but no frame", watched.format.name));
  }
  close_stretch(watched, pending, clock.even());
  // Between frames at uneven times nothing tells a longer wait from a lost frame.
  if (watched.uneven_by_file) watched.gaps = 0;
  if (watched.gaps > 0) watched.lost = watched.lost.value_or(0) + watched.gaps;
  watched.of_file = clip.findings();
  if (!watched.format.still) watched.fps = watched.rate->per_s();
  watched.layout = reducer.stretch();
  watched.burnt_out = reducer.burnt_out_share();
  return watched;
}

}  // namespace lampbeat::footage::stretches
