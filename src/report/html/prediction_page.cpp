#include <fmt/format.h>

#include "lampbeat/html.hpp"
#include "report/html/figures.hpp"
#include "report/html/parts.hpp"
#include "report/plots/plots.hpp"
#include "words/numbers.hpp"
#include "words/units.hpp"

namespace lampbeat {

using namespace report::html;

namespace {

std::string shot_words(const Prediction& p) {
  const Shot& shot = p.shot;
  return fmt::format("{} frames per second, {} ({}°), readout {}{}", frame_rate_label(shot.fps),
                     exposure_label(shot.exposure_s),
                     words::in_digits_at_most(shutter_angle_deg(shot.exposure_s, shot.fps), 4),
                     readout_words(shot.readout_s), shot.readout_assumed ? " assumed" : "");
}

std::string mains_taken(const Recorded& r) {
  return r.mains_hz ? words::hertz(*r.mains_hz) : "as measured";
}

View recorded_row(const std::string& name, const std::string& nominal, const std::string& worst) {
  View row;
  row.text["name"] = name;
  row.markup["nominal"] = nominal;
  row.markup["worst"] = worst;
  return row;
}

std::vector<View> recorded_rows(const Recorded& n, const Recorded& w) {
  const auto both = [&](const std::string& name, const std::string& key, double nominal,
                        double worst, const char* unit) {
    return recorded_row(name, figure(key, nominal, unit), figure("worst." + key, worst, unit));
  };
  return {
      both("band depth within a frame", "band_percent", n.band_percent, w.band_percent, "%"),
      both("the same in stops", "band_stops", n.band_stops, w.band_stops, "stops"),
      both("bands over the picture height", "bands_per_frame", n.bands_per_frame, w.bands_per_frame,
           ""),
      both("roll of the bands", "roll_hz", n.roll_hz, w.roll_hz, "Hz"),
      both("pulsing from frame to frame", "pulse_percent", n.pulse_percent, w.pulse_percent, "%"),
      both("how fast it pulses", "pulse_hz", n.pulse_hz, w.pulse_hz, "Hz"),
      recorded_row("against the threshold of seeing", visibility_figure("visibility", n.visibility),
                   visibility_figure("worst.visibility", w.visibility)),
      recorded_row("verdict", verdict_word(n.verdict), verdict_word(w.verdict)),
  };
}

std::vector<View> light_rows(const std::vector<LightShare>& lights) {
  std::vector<View> rows;
  for (const LightShare& each : lights) {
    View row;
    row.text["name"] = each.light.name.empty() ? "an unnamed light" : each.light.name;
    row.markup["share"] = figure("share_percent", 100.0 * each.share, "%");
    row.text["rhythm"] = rhythm_words(each.light);
    row.text["source"] = each.light.source;
    rows.push_back(row);
  }
  return rows;
}

}  // namespace

std::string prediction_html(const Prediction& p, const PageCompanions& with) {
  View view;
  const std::string heading = headline(p);
  view.text["headline"] = heading;
  view.text["shot"] = shot_words(p);
  view.text["lights_named"] = names_of(p.lights);
  view.text["mains"] = mains_words(p.mains_hz, p.mains_tolerance_hz);
  view.markup["tile"] = report::plots::verdict_tile(p.worst.verdict);
  for (const std::string& sentence : with.advice) {
    View line;
    line.text["sentence"] = sentence;
    view.lists["advice"].push_back(line);
  }
  if (!with.advice.empty()) view.lists["has_advice"] = {View{}};
  if (with.pictured) {
    const Shot& shot = with.pictured->shot;
    view.lists["picture"] = picture_view(
        *with.pictured,
        fmt::format(
            "left: a plain wall at {} frames a second, {}; right: the same under steady light",
            frame_rate_label(shot.fps), exposure_label(shot.exposure_s)));
  }
  if (with.plan) {
    view.lists["map"] = map_view(*with.plan, with.field);
    view.lists["settings"] = settings_view(with.plan->settings);
    if (!with.plan->settings.empty()) view.lists["has_settings"] = {View{}};
  }
  view.lists["recorded"] = recorded_rows(p.nominal, p.worst);
  view.text["nominal_mains"] = mains_taken(p.nominal);
  view.text["worst_mains"] = mains_taken(p.worst);
  view.lists["lights"] = light_rows(p.lights);
  view.text["viewing"] = fmt::format(
      "Watched from {} picture heights on a screen of {} cd/m², recorded with {} bits. Bands count "
      "as visible above the contrast at which a standard observer just sees them.",
      words::in_digits(p.options.viewing.distance_heights, 2),
      words::in_digits(p.options.viewing.screen_cd_m2), p.options.viewing.recording_bits);
  view.lists["findings"] = findings_view(p.findings);
  if (p.findings.empty()) view.lists["no_findings"] = {View{}};
  return page(fmt::format("{}: {}", verdict_word(p.worst.verdict), shot_words(p)), "sheet", {},
              render("prediction.mustache", view));
}

}  // namespace lampbeat
