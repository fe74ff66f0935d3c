#include <algorithm>

#include "footage/answer/diagnosis.hpp"
#include "footage/answer/evidence.hpp"
#include "footage/answer/figures.hpp"
#include "footage/answer/judging.hpp"
#include "footage/answer/naming.hpp"
#include "footage/rows/watched.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/footage.hpp"

namespace lampbeat {

namespace {

void require_sensible(const FootageSettings& s) {
  const auto within = [](std::optional<double> v, double low, double high) {
    return !v || (*v >= low && *v <= high);
  };
  if (!within(s.light_hz, 10.0, 100000.0)) {
    throw UsageError("a light's rhythm lies between 10 and 100000 Hz");
  }
  if (!within(s.readout_s, 0.0, 1.0)) throw UsageError("a readout lies between 0 and 1 s");
  if (!within(s.exposure_s, 1e-7, 1.0)) throw UsageError("an exposure lies between 0.1 µs and 1 s");
}

void add(Findings& to, const Findings& more) { to.insert(to.end(), more.begin(), more.end()); }

}  // namespace

FootageResult measure_footage(ClipSource& clip, ClipSource* reference,
                              const FootageSettings& settings) {
  require_sensible(settings);
  const footage::Watched watched = footage::watch(clip, settings);
  footage::Evidence evidence = footage::find_evidence(watched, reference, settings);

  FootageResult result;
  result.clip = watched.format.name;
  result.rows = watched.format.height;
  result.fps = watched.rate;
  result.frames = watched.frames;
  result.repeated_frames = watched.repeated;
  result.dropped_frames = watched.lost;
  result.transfer = settings.transfer;
  result.smallest_seen_percent = evidence.smallest_seen_percent;
  result.nothing_seen = evidence.nothing_seen;
  add(result.warnings, evidence.findings);
  add(result.warnings, footage::time_faults(watched));
  add(result.warnings, footage::picture_faults(watched));
  if (!evidence.waves.empty()) {
    // Without the frames' times there is no roll, and with that neither light nor readout.
    footage::add_figures(evidence.waves, watched.uneven ? 0.0 : watched.fps, settings, result);
    if (!watched.uneven) {
      footage::name_the_light(evidence.waves, watched.fps, watched.combined.smallest_seen(),
                              settings, result);
    }
    if (watched.fps > 0.0 && !watched.uneven) {
      const auto frames = static_cast<double>(watched.taken);
      const auto rows = static_cast<double>(watched.layout.rows);
      footage::judge_waves(footage::one_for_each_lamp(evidence.waves, frames, rows), settings,
                           result);
    }
    if (!evidence.open_to_doubt) footage::judge(watched.fps, settings, result);
    result.transfer_tested = footage::agrees_with_curve(watched.combined.curves());
    if (const auto better = footage::better_curve(watched.combined.curves())) {
      footage::doubt_curve(*better, watched.fps, settings, result);
    }
  } else if (evidence.nothing_seen && !evidence.open_to_doubt) {
    footage::judge_absence(evidence.absent_roll_hz, watched.fps, settings, result);
  }
  return result;
}

}  // namespace lampbeat
