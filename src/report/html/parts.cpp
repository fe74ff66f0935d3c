#include "report/html/parts.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "lampbeat/picture.hpp"
#include "report/hidden_light.hpp"
#include "report/html/figures.hpp"
#include "report/plots/plots.hpp"
#include "words/lists.hpp"
#include "words/numbers.hpp"
#include "words/units.hpp"

namespace lampbeat::report::html {

View fact(const std::string& name, const std::string& value) {
  View view;
  view.text["name"] = name;
  view.markup["value"] = value;
  return view;
}

std::vector<View> findings_view(const Findings& findings) {
  std::vector<View> views;
  for (const Finding& finding : findings) {
    View view;
    view.text["code"] = finding.code;
    view.text["message"] = finding.message;
    views.push_back(view);
  }
  return views;
}

std::vector<View> standards_view(const std::vector<StandardVerdict>& standards) {
  std::vector<View> rows;
  for (const StandardVerdict& s : standards) {
    View row;
    row.text["standard"] = s.standard;
    row.text["quantity"] = s.quantity;
    row.markup["value"] = figure(s.quantity, s.value, s.unit);
    row.markup["limit"] = figure("limit", s.limit, s.unit);
    row.text["met"] = !s.met ? "cannot tell" : *s.met ? "within" : "over";
    row.text["met_class"] = !s.met ? "unknown" : *s.met ? "within" : "over";
    row.text["note"] = s.note;
    rows.push_back(row);
  }
  return rows;
}

namespace {

/// Where nothing is clean: the best one that any dial has. "1/60.2" and "359°" only just fit a
/// wandering clock as it was measured, and are no choice.
const Setting& least_bad(const std::vector<Setting>& settings, const Setting& otherwise) {
  const auto on_a_dial = std::find_if(settings.begin(), settings.end(), [&](const Setting& s) {
    return s.fps == otherwise.fps && s.label.rfind("1/", 0) == 0 &&
           s.label.find('.') == std::string::npos;
  });
  return on_a_dial == settings.end() ? otherwise : *on_a_dial;
}

}  // namespace

std::vector<View> settings_view(const std::vector<Setting>& settings) {
  constexpr int most_of_each = 3;  // a choice; all of them are in the map above
  std::vector<View> rows;
  std::string rate;
  int of_this_rate = 0;
  for (const Setting& s : settings) {
    const std::string fps = frame_rate_label(s.fps);
    if (fps != rate) of_this_rate = 0;
    rate = fps;
    const bool worth_a_row = is_clean(s.worst) ? of_this_rate < most_of_each
                                               : of_this_rate == 0 && &s == &least_bad(settings, s);
    if (!worth_a_row) continue;
    ++of_this_rate;
    View row;
    row.text["fps"] = fps;
    row.text["label"] = s.label;
    row.text["verdict"] = verdict_word(s.worst.verdict);
    row.markup["tile"] = plots::verdict_tile(s.worst.verdict);
    row.markup["angle"] = figure("shutter_deg", s.shutter_deg, "°");
    row.markup["band"] = figure("band_percent", s.nominal.band_percent, "%");
    row.markup["worst"] = figure("worst_band_percent", s.worst.band_percent, "%");
    row.markup["stops"] = figure("stops_from_180deg", s.stops_from_180deg, "", 2);
    row.text["margin"] =
        is_clean(s.worst) || s.mains_margin_hz || s.clock_margin_percent ? margin_words(s) : "–";
    rows.push_back(row);
  }
  return rows;
}

std::vector<View> drawing(const std::string& svg, const std::string& caption) {
  if (svg.empty()) return {};
  View view;
  view.markup["svg"] = svg;
  view.text["caption"] = caption;
  return {view};
}

std::vector<View> map_view(const ShutterPlan& plan, const std::optional<ShutterPlan>& field) {
  return drawing(
      plots::shutter_map_svg(plan, field ? &*field : nullptr),
      "Discs: clean at every mains frequency in the tolerance. Half discs: borderline. Rings: "
      "visible. Crosses: strong. Short upright lines: 180°. Behind them, every exposure: tall "
      "where clean.");
}

std::vector<View> picture_view(const Prediction& prediction, const std::string& note) {
  View picture;
  picture.markup["data"] = base64(predicted_frame_png(prediction));
  picture.text["note"] = note;
  return {picture};
}

std::string names_of(const std::vector<LightShare>& lights) {
  std::vector<std::string> names;
  for (const LightShare& each : lights) {
    names.push_back(each.light.name.empty() ? "an unnamed light" : each.light.name);
  }
  return words::listed(names);
}

std::string rhythm_words(const Light& light) {
  if (light.components.empty()) return "steady";
  const LightComponent& strongest = light.components.front();
  return fmt::format("{} at {}", words::percent(100.0 * strongest.amplitude),
                     words::hertz(strongest.hz));
}

std::string mains_words(const std::optional<double>& mains_hz, double tolerance_hz) {
  if (!mains_hz) return "no light here follows the mains";
  std::string words = words::hertz(*mains_hz) + " mains";
  if (tolerance_hz > 0.0) words += fmt::format(" ± {} Hz", words::in_digits(tolerance_hz, 2));
  return words;
}

std::string margin_words(const Setting& s) {
  std::string words;
  if (s.mains_margin_hz) words = fmt::format("± {} Hz", words::in_digits(*s.mains_margin_hz, 2));
  if (s.clock_margin_percent) {
    words += fmt::format("{}± {} %", words.empty() ? "" : ", ",
                         words::in_digits(*s.clock_margin_percent, 2));
  }
  return words.empty() ? "any drift" : words;
}

std::string left_words(const Recorded& recorded) {
  return fmt::format("{} {}", words::percent(shown_percent(recorded)), shown_word(recorded));
}

std::string headline(const Prediction& p) {
  return hides_what_could_show(p) ? "Clean as far as was measured" : verdict_sentence(p.worst);
}

std::string verdict_sentence(const Recorded& recorded) {
  const char* what = shown_word(recorded);
  switch (recorded.verdict) {
    case Verdict::clean:
      return "Clean: nobody will see the lights beat";
    case Verdict::borderline:
      return fmt::format("Borderline: {} at the edge of being seen", what);
    case Verdict::visible:
      return fmt::format("Visible: this shot will show {}", what);
    case Verdict::strong:
      return fmt::format("Strong: this shot is ruined by {}", what);
  }
  return {};
}

std::string filming_sentence(FilmingClass filming) {
  switch (filming) {
    case FilmingClass::any_shutter:
      return "Film at any shutter";
    case FilmingClass::ordinary_shutters:
      return "Film at ordinary shutters, 1/100 s and longer";
    case FilmingClass::matched_shutters_only:
      return "Film at matched shutters only";
    case FilmingClass::no_safe_shutter:
      return "No safe shutter under this light";
  }
  return {};
}

}  // namespace lampbeat::report::html
