#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>
#include <string_view>

#include "lampbeat/camera.hpp"
#include "lampbeat/html.hpp"
#include "report/html/figures.hpp"
#include "report/html/parts.hpp"
#include "words/lists.hpp"
#include "words/numbers.hpp"

namespace lampbeat {

namespace {

/// More columns than this leave no room for letters that can be read from two metres.
constexpr std::size_t most_columns = 8;

bool safe(const Setting& s) { return s.worst.verdict == Verdict::clean; }

/// One shutter of the camera, over all frame rates.
struct Column {
  std::string label;
  double exposure_s = 0.0;
  int safe_rows = 0;
  int rows = 0;
  double least_margin_hz = 1e9;
};

std::vector<Column> every_column(const ShutterPlan& plan) {
  std::vector<Column> columns;
  for (const Setting& s : plan.settings) {
    auto found = std::find_if(columns.begin(), columns.end(),
                              [&](const Column& c) { return c.label == s.label; });
    if (found == columns.end()) found = columns.insert(columns.end(), Column{s.label, 0, 0, 0});
    found->exposure_s = std::max(found->exposure_s, s.exposure_s);
    ++found->rows;
    if (safe(s)) {
      ++found->safe_rows;
      found->least_margin_hz = std::min(found->least_margin_hz, s.mains_margin_hz.value_or(1e9));
    }
  }
  return columns;
}

/// The shutters people set without thinking (common practice, no source): where they are not safe,
/// the card should say so before rarer ones.
bool set_by_habit(const Column& column) {
  constexpr std::array<std::string_view, 6> habits = {"1/48",  "1/50",  "1/60",
                                                      "1/100", "1/120", "1/125"};
  return std::find(habits.begin(), habits.end(), column.label) != habits.end();
}

/// The columns worth their room: those safe at most frame rates, with the most margin, then the
/// habitual ones; longest exposure first, as on a dial.
std::vector<Column> card_columns(const ShutterPlan& plan) {
  std::vector<Column> columns = every_column(plan);
  std::stable_sort(columns.begin(), columns.end(), [](const Column& a, const Column& b) {
    if (a.safe_rows != b.safe_rows) return a.safe_rows > b.safe_rows;
    if (set_by_habit(a) != set_by_habit(b)) return set_by_habit(a);
    if (a.least_margin_hz != b.least_margin_hz) return a.least_margin_hz > b.least_margin_hz;
    return a.rows > b.rows;
  });
  if (columns.size() > most_columns) columns.resize(most_columns);
  std::stable_sort(columns.begin(), columns.end(),
                   [](const Column& a, const Column& b) { return a.exposure_s > b.exposure_s; });
  return columns;
}

/// Frame rates in the order asked.
std::vector<FrameRate> frame_rates(const ShutterPlan& plan) {
  std::vector<FrameRate> rates;
  const auto add = [&](FrameRate fps) {
    const bool known = std::any_of(rates.begin(), rates.end(), [&](FrameRate r) {
      return r.numerator * fps.denominator == fps.numerator * r.denominator;
    });
    if (!known) rates.push_back(fps);
  };
  for (const FrameRateOutlook& outlook : plan.outlooks) add(outlook.fps);
  for (const Setting& s : plan.settings) add(s.fps);
  return rates;
}

bool same_rate(FrameRate a, FrameRate b) {
  return a.numerator * b.denominator == b.numerator * a.denominator;
}

const Setting* setting_at(const ShutterPlan& plan, FrameRate fps, const std::string& label) {
  for (const Setting& s : plan.settings) {
    if (same_rate(s.fps, fps) && s.label == label) return &s;
  }
  return nullptr;
}

View cell(const Setting* s) {
  View view;
  if (!s) {
    view.text["kind"] = "none";
    view.text["hover"] = "not possible at this frame rate";
    return view;
  }
  const Verdict verdict = s->worst.verdict;
  view.text["kind"] = safe(*s) ? "safe" : verdict == Verdict::borderline ? "borderline" : "bad";
  view.text["big"] = s->label;
  view.text["small"] =
      safe(*s) ? margin_words(*s)
      : verdict == Verdict::borderline
          ? "borderline"
          : fmt::format("{} %", words::in_digits(
                                    std::max(s->worst.band_percent, s->worst.pulse_percent), 2));
  view.text["hover"] = fmt::format(
      "{} at {} frames per second: {}; bands {} % at worst; {} stops from 180°", s->label,
      frame_rate_label(s->fps), verdict_word(verdict), words::in_digits(s->worst.band_percent, 2),
      words::in_digits(s->stops_from_180deg, 2));
  return view;
}

std::string headline(const ShutterPlan& plan, const std::vector<FrameRate>& rates,
                     const std::vector<Column>& columns) {
  std::vector<std::string> hopeless;
  for (const FrameRate fps : rates) {
    const bool any = std::any_of(plan.settings.begin(), plan.settings.end(), [&](const Setting& s) {
      return same_rate(s.fps, fps) && safe(s);
    });
    if (!any) hopeless.push_back(frame_rate_label(fps));
  }
  if (hopeless.size() == rates.size()) return "No safe shutter here: change the light";
  if (!hopeless.empty()) {
    return fmt::format("No safe shutter at {} fps", words::listed(hopeless, "or"));
  }
  std::vector<std::string> everywhere;
  std::size_t all_safe = 0;
  for (const Column& column : columns) {
    if (column.safe_rows == static_cast<int>(rates.size())) everywhere.push_back(column.label);
    if (column.safe_rows == column.rows) ++all_safe;
  }
  if (all_safe == columns.size()) return "Any of these shutters is safe";
  if (everywhere.size() > 3) everywhere.resize(3);
  if (!everywhere.empty()) {
    return "Set " + words::listed(everywhere, "or") +
           (rates.size() == 1 ? "" : " at every frame rate");
  }
  return "Take a filled tile at every frame rate";
}

/// "16 ms", or "16 ms assumed, the whole frame where that is shorter"; the findings give each
/// rate's.
std::string readout_of(const ShutterPlan& plan) {
  if (plan.readout_s) return readout_words(*plan.readout_s);
  const auto whole_frame = [](const FrameRateOutlook& o) {
    return o.readout_s < assumed_readout_s;
  };
  if (std::all_of(plan.outlooks.begin(), plan.outlooks.end(), whole_frame)) {
    return "of the whole frame assumed";
  }
  const bool some = std::any_of(plan.outlooks.begin(), plan.outlooks.end(), whole_frame);
  return readout_words(assumed_readout_s) + " assumed" +
         (some ? ", the whole frame where that is shorter" : "");
}

std::string no_safe_note(const ShutterPlan& plan, FrameRate fps) {
  for (const FrameRateOutlook& outlook : plan.outlooks) {
    if (!same_rate(outlook.fps, fps) || outlook.any_clean) continue;
    return outlook.needed_percent_flicker
               ? fmt::format("none safe; 180° needs a light under {} % flicker",
                             words::in_digits(*outlook.needed_percent_flicker, 2))
               : "none safe";
  }
  return {};
}

}  // namespace

std::string shutter_card_html(const ShutterPlan& plan) {
  const std::vector<Column> columns = card_columns(plan);
  const std::vector<FrameRate> rates = frame_rates(plan);
  View view;
  const std::string heading = headline(plan, rates, columns);
  view.text["headline"] = heading;
  view.text["lights_named"] = names_of(plan.lights);
  view.text["mains"] = mains_words(plan.mains_hz, plan.mains_tolerance_hz);
  view.text["readout"] = readout_of(plan);
  view.text["density"] = std::string(rates.size() > 7 ? "many-rows" : "few-rows") +
                         (columns.size() > 6 ? " many-columns" : "");
  for (const Column& column : columns) {
    View head;
    head.text["label"] = column.label;
    view.lists["columns"].push_back(head);
  }
  for (const FrameRate fps : rates) {
    View row;
    row.text["fps"] = frame_rate_label(fps);
    if (const std::string note = no_safe_note(plan, fps); !note.empty()) {
      View no_safe;
      no_safe.text["note"] = note;
      row.lists["no_safe"] = {no_safe};
    }
    for (const Column& column : columns) {
      row.lists["cells"].push_back(cell(setting_at(plan, fps, column.label)));
    }
    view.lists["rows"].push_back(row);
  }
  const std::size_t left_out = every_column(plan).size() - columns.size();
  std::string explained =
      plan.mains_hz
          ? fmt::format(
                "Under each safe shutter: how far the mains may drift from {} Hz before it "
                "stops being safe; it is taken to stay within ± {} Hz. ",
                words::in_digits_at_most(*plan.mains_hz, 4),
                words::in_digits(plan.mains_tolerance_hz, 2))
          : "No light here follows the mains, so mains drift does not matter. ";
  if (plan.clock_tolerance_percent) {
    explained += fmt::format(
        "± %: how far the clock of a light that does not follow the mains may be off; it is taken "
        "to stay within ± {} %. ",
        words::in_digits(*plan.clock_tolerance_percent, 2));
  }
  explained += "In hollow tiles: the depth of the bands or pulsing it would record.";
  if (left_out > 0) explained += fmt::format(" {} more shutters are left out.", left_out);
  view.text["explained"] = explained;
  view.lists["findings"] = findings_view(plan.findings);
  return page(heading + " – " + names_of(plan.lights), "card", "card.css",
              render("card.mustache", view));
}

}  // namespace lampbeat
