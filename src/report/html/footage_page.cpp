#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "lampbeat/html.hpp"
#include "lampbeat/picture.hpp"
#include "report/html/figures.hpp"
#include "report/html/parts.hpp"
#include "report/plots/plots.hpp"
#include "report/text/footage_words.hpp"
#include "words/numbers.hpp"

namespace lampbeat {

using namespace report::html;

namespace {

/// More of the unlikely ones would fill the page; JSON lists them all.
constexpr std::size_t most_lights = 6;

/// The sentence under the verdict: what the bands are, in this clip's numbers.
std::string what_is_seen(const FootageResult& f) {
  if (f.nothing_seen && f.smallest_seen_percent) {
    return fmt::format("Bands deeper than {} % would have shown in this clip, and none did.",
                       words::in_digits(*f.smallest_seen_percent, 2));
  }
  if (!f.band_percent || !f.bands_per_frame) {
    return "How deep its bands are, if there are any, is not known: see the notes below.";
  }
  const std::string roll = report::text::roll_words(f);
  return fmt::format(
      "Bands {} % deep, {} of them over the picture height{}.", words::in_digits(*f.band_percent),
      words::in_digits_at_most(*f.bands_per_frame, 3), roll.empty() ? roll : ", " + roll);
}

View plain_fact(const std::string& name, const std::string& words) {
  View view;
  view.text["name"] = name;
  view.text["plain"] = words;
  return view;
}

std::string give_or_take(const std::string& figure_markup, const char* key,
                         std::optional<double> sd, const char* unit) {
  if (!sd) return figure_markup;
  return figure_markup + " <small>±\u00A0" + figure(key, sd, unit, 2) + "</small>";
}

/// On top: how deep, known or not, and what else is known.
std::vector<View> clip_figures(const FootageResult& f) {
  std::vector<View> facts;
  if (f.nothing_seen) {
    facts.push_back(
        fact("bands under", figure("smallest_seen_percent", f.smallest_seen_percent, "%")));
  } else {
    facts.push_back(fact("bands", figure("band_percent", f.band_percent, "%")));
  }
  const auto add = [&](const std::string& name, bool known, const std::string& value) {
    if (known) facts.push_back(fact(name, value));
  };
  add("over the picture height", f.bands_per_frame.has_value(),
      figure("bands_per_frame", f.bands_per_frame, ""));
  add("roll", f.roll_hz.has_value(), figure("roll_hz", f.roll_hz, "Hz"));
  add("whole frames pulse", f.pulse_percent.has_value(),
      figure("pulse_percent", f.pulse_percent, "%"));
  add("visibility", f.visibility.has_value(), figure("visibility", f.visibility, "×"));
  add("the camera's readout", f.readout_s.has_value(), duration_figure("readout_s", f.readout_s));
  return facts;
}

/// Digits down to the second of the uncertainty, as far as a table has room.
int digits_worth_showing(double value, double sd) {
  constexpr int fewest = 3;
  constexpr int most = 6;
  if (!(sd > 0.0) || !(value > sd)) return most;
  return std::clamp(static_cast<int>(std::ceil(std::log10(value / sd))) + 1, fewest, most);
}

std::vector<View> light_table(const FootageResult& f) {
  std::vector<View> rows;
  for (std::size_t i = 0; i < std::min(most_lights, f.lights.size()); ++i) {
    const LightCandidate& light = f.lights[i];
    View row;
    row.markup["hz"] = figure(fmt::format("light_candidates.{}.hz", i), light.hz, "Hz",
                              digits_worth_showing(light.hz, light.hz_sd));
    row.markup["sd"] =
        "<span class=\"whole\">±\u00A0" +
        figure(fmt::format("light_candidates.{}.hz_uncertainty", i), light.hz_sd, "Hz", 2) +
        "</span>";
    row.text["believed"] = light.plausible ? "most likely" : "less likely";
    row.text["why"] = light.why;
    rows.push_back(row);
  }
  return rows;
}

std::vector<View> suspect_table(const FootageResult& f) {
  std::vector<View> rows;
  for (const Suspect& suspect : f.suspects) {
    View row;
    row.text["name"] = suspect.name;
    row.text["explains"] = suspect.explains ? "explains them" : "does not match";
    row.text["why"] = suspect.why;
    rows.push_back(row);
  }
  return rows;
}

/// Only where there are several: the figures on top tell the one.
std::vector<View> wave_table(const FootageResult& f) {
  std::vector<View> rows;
  if (f.waves.size() < 2) return rows;
  for (std::size_t i = 0; i < f.waves.size(); ++i) {
    const SeenWave& wave = f.waves[i];
    View row;
    row.markup["band"] = figure(fmt::format("waves.{}.band_percent", i), wave.band_percent, "%");
    row.markup["number"] =
        figure(fmt::format("waves.{}.bands_per_frame", i), wave.bands_per_frame, "");
    row.markup["roll"] = figure(fmt::format("waves.{}.roll_hz", i), wave.roll_hz, "Hz");
    rows.push_back(row);
  }
  return rows;
}

std::string counted(const char* key, const std::optional<std::uint64_t>& count) {
  return count ? count_figure(key, *count) : "<span class=\"absent\">not judged</span>";
}

std::string curve_words(const FootageResult& f) {
  if (f.transfer_doubt) return ", which the picture contradicts";
  return f.transfer_tested ? ", borne out by the picture" : ", on trust";
}

std::vector<View> camera_facts(const FootageResult& f) {
  std::vector<View> facts;
  if (f.fps) facts.push_back(fact("frame rate", fps_figure("fps", {&*f.fps, 1})));
  facts.push_back(fact("frames", count_figure("frames", f.frames)));
  facts.push_back(fact("rows", count_figure("rows", static_cast<std::uint64_t>(f.rows))));
  facts.push_back(fact("bands", give_or_take(figure("band_percent", f.band_percent, "%"),
                                             "band_percent_uncertainty", f.band_percent_sd, "%")));
  facts.push_back(fact("roll", give_or_take(figure("roll_hz", f.roll_hz, "Hz"),
                                            "roll_hz_uncertainty", f.roll_hz_sd, "Hz")));
  std::string readout = duration_figure("readout_s", f.readout_s);
  if (f.readout_s_sd) {
    readout +=
        " <small>±\u00A0" + duration_figure("readout_s_uncertainty", f.readout_s_sd) + "</small>";
  }
  facts.push_back(fact("readout, first row to last", readout));
  if (f.fps) {
    facts.push_back(fact("frames shown twice", counted("repeated_frames", f.repeated_frames)));
    facts.push_back(fact("frames missing", counted("dropped_frames", f.dropped_frames)));
  }
  facts.push_back(fact("faintest bands it would show",
                       figure("smallest_seen_percent", f.smallest_seen_percent, "%")));
  facts.push_back(plain_fact("curve it was read by", transfer_name(f.transfer) + curve_words(f)));
  return facts;
}

std::string frame_caption(const FootageResult& f) {
  const std::string first =
      f.fps ? "The first frame, its rows as the sensor read them." : "The picture.";
  return f.view.dark_bands.empty() ? first : first + " Marks at both sides: the dark bands fitted.";
}

std::string profile_caption(const FootageResult& f) {
  if (f.row_pattern.empty()) return "Light of each row of that frame; nothing was fitted to it.";
  return fmt::format("Grey: light of each row of that frame. Orange: the bands fitted to the {}.",
                     f.fps ? "whole clip" : "picture");
}

std::vector<View> profile_drawing(const FootageResult& f) {
  std::vector<View> views = drawing(report::plots::row_profile_svg(f), profile_caption(f));
  for (View& view : views) {
    view.text["heading"] =
        f.row_pattern.empty() ? "The light of its rows" : "Its rows, and the bands in them";
  }
  return views;
}

/// Some of a view's lists come with a section of their own, left out when they are empty.
void add_section(View& view, const std::string& name, std::vector<View> rows) {
  if (!rows.empty()) view.lists["has_" + name] = {View{}};
  view.lists[name] = std::move(rows);
}

}  // namespace

std::string footage_html(const FootageResult& f) {
  View view;
  const std::string headline = report::text::footage_sentence(f);
  view.text["clip"] = fmt::format("{}: {}", f.clip, report::text::frames_words(f));
  view.text["headline"] = headline;
  view.text["sentence"] = what_is_seen(f);
  if (f.verdict) view.markup["tile"] = report::plots::verdict_tile(*f.verdict);
  view.lists["key_figures"] = clip_figures(f);
  std::vector<View> advice;
  if (f.remedy) {
    for (const std::string& sentence : report::text::next_steps(*f.remedy)) {
      View line;
      line.text["sentence"] = sentence;
      advice.push_back(line);
    }
  }
  add_section(view, "advice", std::move(advice));
  view.lists["frame"] = drawing(
      report::plots::clip_frame_svg(f, base64(clip_picture_png(f.view.picture))), frame_caption(f));
  view.lists["rows"] = profile_drawing(f);
  view.lists["course"] = drawing(report::plots::clip_course_svg(f),
                                 "Each dash is one stretch of the clip, measured by itself.");
  view.lists["levels"] =
      drawing(report::plots::frame_levels_svg(f),
              "Mean light of each frame: it pulses as a whole, or automatic exposure changes it.");
  add_section(view, "lights", light_table(f));
  add_section(view, "suspects", suspect_table(f));
  add_section(view, "waves", wave_table(f));
  view.lists["how"] = camera_facts(f);
  view.lists["findings"] = findings_view(f.warnings);
  if (f.warnings.empty()) view.lists["no_findings"] = {View{}};
  return page(fmt::format("{}: {}", f.clip, headline), "sheet", {},
              render("footage.mustache", view));
}

}  // namespace lampbeat
