#include "files/json.hpp"
#include "lampbeat/json.hpp"

namespace lampbeat {

namespace {

using files::json::Json;
using files::json::number;

Json candidate(const LightCandidate& c) {
  return {{"hz", number(c.hz)},
          {"hz_uncertainty", number(c.hz_sd)},
          {"why", c.why},
          {"plausible", c.plausible}};
}

Json suspect(const Suspect& s) {
  return {{"light", s.name},
          {"hz", number(s.hz)},
          {"roll_hz", number(s.predicted_roll_hz)},
          {"band_percent", number(s.predicted_band_percent)},
          {"explains", s.explains},
          {"why", s.why}};
}

Json wave(const SeenWave& w) {
  Json entry{{"band_percent", number(w.band_percent)},
             {"band_percent_uncertainty", number(w.band_percent_sd)},
             {"bands_per_frame", number(w.bands_per_frame)},
             {"roll_hz", number(w.roll_hz)},
             {"light_hz", Json::array()},
             {"suspects", w.suspects}};
  for (const LightCandidate& c : w.lights) entry["light_hz"].push_back(number(c.hz));
  return entry;
}

}  // namespace

std::string to_json(const FootageResult& f) {
  Json document = files::json::document("lampbeat.footage/1");
  document["clip"] = f.clip;
  document["frames"] = f.frames;
  document["repeated_frames"] = f.repeated_frames ? Json(*f.repeated_frames) : Json(nullptr);
  document["dropped_frames"] = f.dropped_frames ? Json(*f.dropped_frames) : Json(nullptr);
  document["rows"] = f.rows;
  document["fps"] = f.fps ? number(f.fps->per_s()) : Json(nullptr);
  document["set_up"] = {{"light_hz", number(f.given.light_hz)},
                        {"readout_s", number(f.given.readout_s)},
                        {"exposure_s", number(f.given.exposure_s)},
                        {"plain_wall", f.given.plain_wall},
                        {"reference", f.given.reference}};
  document["transfer"] = transfer_name(f.transfer);
  document["transfer_tested"] = f.transfer_tested;
  document["transfer_doubt"] = f.transfer_doubt ? Json(*f.transfer_doubt) : Json(nullptr);
  document["band_percent"] = number(f.band_percent);
  document["band_percent_uncertainty"] = number(f.band_percent_sd);
  document["bands_per_frame"] = number(f.bands_per_frame);
  document["bands_per_frame_uncertainty"] = number(f.bands_per_frame_sd);
  document["roll_hz"] = number(f.roll_hz);
  document["roll_hz_uncertainty"] = number(f.roll_hz_sd);
  document["pulse_percent"] = number(f.pulse_percent);
  document["pulse_hz"] = number(f.pulse_hz);
  document["readout_s"] = number(f.readout_s);
  document["readout_s_uncertainty"] = number(f.readout_s_sd);
  // The frequencies alone, the one to believe first; their reasons in light_candidates.
  document["light_hz"] = Json::array();
  document["light_candidates"] = Json::array();
  for (const LightCandidate& c : f.lights) {
    document["light_hz"].push_back(number(c.hz));
    document["light_candidates"].push_back(candidate(c));
  }
  document["suspects"] = Json::array();
  for (const Suspect& s : f.suspects) document["suspects"].push_back(suspect(s));
  document["waves"] = Json::array();
  for (const SeenWave& w : f.waves) document["waves"].push_back(wave(w));
  document["smallest_seen_percent"] = number(f.smallest_seen_percent);
  document["visibility"] = number(f.visibility);
  document["verdict"] = f.verdict ? Json(verdict_word(*f.verdict)) : Json(nullptr);
  document["warnings"] = files::json::list_of(f.warnings);
  return files::json::one_line(document);
}

}  // namespace lampbeat
