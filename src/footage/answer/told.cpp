#include "footage/answer/told.hpp"

#include "footage/answer/faults.hpp"
#include "footage/answer/remedy.hpp"
#include "footage/answer/view.hpp"

namespace lampbeat::footage::answer {

namespace {

/// What a clip is, whatever it shows.
FootageResult facts_of(const stretches::Watched& watched, const Evidence& evidence,
                       const FootageSettings& settings, const std::vector<double>& row_pattern) {
  FootageResult result;
  result.clip = watched.format.name;
  result.rows = watched.format.height;
  result.fps = watched.rate;
  result.frames = watched.frames;
  result.repeated_frames = watched.repeated;
  result.dropped_frames = watched.lost;
  result.transfer = settings.transfer;
  result.smallest_seen_percent = bounding(evidence.smallest_seen_percent);
  result.nothing_seen = evidence.nothing_seen;
  result.row_pattern = row_pattern;
  result.view = view_of(watched, evidence, row_pattern);
  return result;
}

Findings warnings_of(const stretches::Watched& watched, const Evidence& evidence,
                     const Findings& last) {
  Findings all = watched.of_file;
  all.insert(all.end(), evidence.findings.begin(), evidence.findings.end());
  for (const Findings& more : {time_faults(watched), picture_faults(watched), last}) {
    all.insert(all.end(), more.begin(), more.end());
  }
  return all;
}

}  // namespace

FootageResult told(const stretches::Watched& watched, const Evidence& evidence,
                   const Answer& answer, const FootageSettings& settings) {
  FootageResult result = facts_of(watched, evidence, settings, answer.row_pattern);
  result.transfer_tested = answer.curve.tested;
  if (answer.curve.doubt) result.transfer_doubt = answer.curve.doubt->why;
  result.band_percent = answer.figures.bands.percent;
  result.band_percent_sd = answer.figures.bands.percent_sd;
  result.bands_per_frame = answer.figures.bands.per_frame;
  result.bands_per_frame_sd = answer.figures.bands.per_frame_sd;
  if (const auto& roll = answer.figures.roll) {
    result.roll_hz = roll->hz;
    result.roll_hz_sd = roll->hz_sd;
    result.pulse_percent = roll->pulse_percent;
    result.pulse_hz = roll->pulse_hz;
  }
  if (const auto& readout = answer.light.readout) {
    result.readout_s = readout->s;
    result.readout_s_sd = readout->s_sd;
  }
  result.lights = answer.light.lights;
  result.suspects = answer.diagnosis.suspects;
  result.waves = answer.diagnosis.waves;
  result.light = answer.recovered.light;
  if (answer.judgement) {
    result.visibility = answer.judgement->visibility;
    result.verdict = answer.judgement->verdict;
  }
  result.remedy = remedy_of(answer, watched.rate);
  result.warnings = warnings_of(watched, evidence, answer.findings);
  return result;
}

FootageResult told(const stretches::Watched& watched, const Evidence& evidence,
                   const AbsenceVerdict& absence, const FootageSettings& settings) {
  FootageResult result = facts_of(watched, evidence, settings, {});
  if (absence.judgement) result.verdict = absence.judgement->verdict;
  result.warnings = warnings_of(watched, evidence, absence.findings);
  return result;
}

}  // namespace lampbeat::footage::answer
