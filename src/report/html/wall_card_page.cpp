#include <fmt/format.h>

#include <algorithm>

#include "lampbeat/camera.hpp"
#include "lampbeat/html.hpp"
#include "report/html/figures.hpp"
#include "report/html/parts.hpp"
#include "words/lists.hpp"
#include "words/numbers.hpp"

namespace lampbeat {

using namespace report::html;

namespace {

View cell(const Setting* s) {
  View view;
  if (!s) {
    view.text["kind"] = "none";
    view.text["hover"] = "not possible at this frame rate";
    return view;
  }
  const Verdict verdict = s->worst.verdict;
  view.text["kind"] = is_clean(s->worst)               ? "safe"
                      : verdict == Verdict::borderline ? "borderline"
                                                       : "bad";
  view.text["big"] = s->label;
  view.text["small"] = is_clean(s->worst) ? margin_words(*s)
                       : verdict == Verdict::borderline
                           ? "borderline"
                           : fmt::format("{} %", words::in_digits(deeper_percent(s->worst), 2));
  view.text["hover"] = fmt::format(
      "{} at {} frames per second: {}; bands {} % at worst; {} stops from 180°", s->label,
      frame_rate_label(s->fps), verdict_word(verdict), words::in_digits(s->worst.band_percent, 2),
      words::in_digits(s->stops_from_180deg, 2));
  return view;
}

std::string headline(const WallCard& card) {
  if (card.hopeless.size() == card.frame_rates.size()) {
    return "No safe shutter here: change the light";
  }
  if (!card.hopeless.empty()) {
    std::vector<std::string> rates;
    for (const FrameRate fps : card.hopeless) rates.push_back(frame_rate_label(fps));
    return fmt::format("No safe shutter at {} fps", words::listed(rates, "or"));
  }
  if (card.all_clean) return "Any of these shutters is safe";
  constexpr std::size_t most_named = 3;  // in letters read from two metres the line holds no more
  std::vector<std::string> everywhere = card.clean_everywhere;
  if (everywhere.size() > most_named) everywhere.resize(most_named);
  if (everywhere.empty()) return "Take a filled tile at every frame rate";
  return "Set " + words::listed(everywhere, "or") +
         (card.frame_rates.size() == 1 ? "" : " at every frame rate");
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
    if (outlook.fps != fps || outlook.any_clean) continue;
    return outlook.needed_percent_flicker
               ? fmt::format("none safe; 180° needs a light under {} % flicker",
                             words::in_digits(*outlook.needed_percent_flicker, 2))
               : "none safe";
  }
  return {};
}

}  // namespace

std::string wall_card_html(const ShutterPlan& plan, const WallCard& card) {
  View view;
  const std::string heading = headline(card);
  view.text["headline"] = heading;
  view.text["lights_named"] = names_of(plan.lights);
  view.text["mains"] = mains_words(plan.mains_hz, plan.mains_tolerance_hz);
  view.text["readout"] = readout_of(plan);
  view.text["density"] = std::string(card.frame_rates.size() > 7 ? "many-rows" : "few-rows") +
                         (card.shutters.size() > 6 ? " many-columns" : "");
  for (const std::string& label : card.shutters) {
    View head;
    head.text["label"] = label;
    view.lists["columns"].push_back(head);
  }
  for (const FrameRate fps : card.frame_rates) {
    View row;
    row.text["fps"] = frame_rate_label(fps);
    if (const std::string note = no_safe_note(plan, fps); !note.empty()) {
      View no_safe;
      no_safe.text["note"] = note;
      row.lists["no_safe"] = {no_safe};
    }
    for (const std::string& label : card.shutters) {
      row.lists["cells"].push_back(cell(setting_at(plan, fps, label)));
    }
    view.lists["rows"].push_back(row);
  }
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
  if (card.left_out > 0) {
    explained += fmt::format(" {} more shutter{} left out.", card.left_out,
                             card.left_out == 1 ? " is" : "s are");
  }
  view.text["explained"] = explained;
  view.lists["findings"] = findings_view(plan.findings);
  return page(heading + " – " + names_of(plan.lights), "card", "wall_card.css",
              render("wall_card.mustache", view));
}

}  // namespace lampbeat
