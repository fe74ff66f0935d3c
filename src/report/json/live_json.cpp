#include "files/json.hpp"
#include "lampbeat/json.hpp"

namespace lampbeat {

std::string to_json(const LiveReading& reading) {
  using files::json::number;
  files::json::Json document = files::json::document("lampbeat.live/1");
  document["at_s"] = number(reading.at_s);
  document["lasts_s"] = number(reading.lasts_s);
  document["percent_flicker"] = number(reading.percent_flicker);
  document["percent_flicker_uncertainty"] = number(reading.percent_flicker_sd);
  document["dominant_hz"] = number(reading.dominant_hz);
  document["dominant_hz_uncertainty"] = number(reading.dominant_hz_sd);
  document["steady_below_percent"] = number(reading.steady_below_percent);
  document["mean"] = number(reading.mean);
  document["level"] = number(reading.level);
  document["clipped"] = reading.clipped;
  document["too_dark"] = reading.too_dark;
  document["no_dc_level"] = reading.coupled;
  return files::json::one_line(document);
}

}  // namespace lampbeat
