#include "lampbeat/footage.hpp"

#include "footage/answer/answer.hpp"
#include "footage/answer/evidence.hpp"
#include "footage/answer/told.hpp"
#include "footage/stretches/watched.hpp"
#include "lampbeat/error.hpp"

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

}  // namespace

FootageResult measure_footage(ClipSource& clip, ClipSource* reference,
                              const FootageSettings& settings) {
  require_sensible(settings);
  const footage::stretches::Watched watched = footage::stretches::watch(clip, settings);
  const footage::answer::Evidence evidence =
      footage::answer::find_evidence(watched, reference, settings);
  FootageResult result =
      evidence.waves.empty()
          ? told(watched, evidence, judged_absence(watched, evidence, settings), settings)
          : told(watched, evidence, answer_of(watched, evidence, settings), settings);
  result.given = {settings.light_hz, settings.readout_s, settings.exposure_s, settings.plain_wall,
                  reference != nullptr};
  return result;
}

}  // namespace lampbeat
