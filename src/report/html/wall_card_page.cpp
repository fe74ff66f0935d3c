#include <fmt/format.h>

#include <algorithm>

#include "lampbeat/camera.hpp"
#include "lampbeat/frequency_light.hpp"
#include "lampbeat/html.hpp"
#include "report/html/figures.hpp"
#include "report/html/parts.hpp"
#include "words/columns.hpp"
#include "words/lists.hpp"
#include "words/numbers.hpp"
#include "words/units.hpp"

namespace lampbeat {

using namespace report::html;

namespace {

/// The letters a column makes room for; a longer name is set small, on several lines.
constexpr int most_letters_on_a_line = 10;
/// Beside a name: the tile's own border and air, in letters.
constexpr double beside_letters = 1.4;
/// From so many rows on a tile is too low for a second line.
constexpr std::size_t many_rows = 10;
/// A light's name that leaves room for what to do.
constexpr int longest_in_headline = 30;

int letters_of(const std::string& label) {
  return std::min(words::columns(label), most_letters_on_a_line);
}

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
  if (words::columns(s->label) > most_letters_on_a_line) view.text["long"] = " long";
  view.text["big"] = s->label;
  view.text["small"] = is_clean(s->worst)               ? margin_words(*s)
                       : verdict == Verdict::borderline ? "borderline"
                                                        : words::percent(deeper_percent(s->worst));
  view.text["hover"] = fmt::format("{} at {} frames per second: {}; {} at worst; {} from 180°",
                                   s->label, frame_rate_label(s->fps), verdict_word(verdict),
                                   left_words(s->worst), words::stops(s->stops_from_180deg));
  return view;
}

const Setting* at(const ShutterPlan& plan, const std::optional<std::size_t>& index) {
  return index ? &plan.settings[*index] : nullptr;
}

std::string rate_list(const std::vector<FrameRate>& rates) {
  std::vector<std::string> labels;
  for (const FrameRate fps : rates) labels.push_back(frame_rate_label(fps));
  return words::listed(labels) + " fps";
}

std::string first_of(std::vector<std::string> names) {
  constexpr std::size_t most_named = 3;  // in letters read from two metres the line holds no more
  if (names.size() > most_named) names.resize(most_named);
  return words::listed(names, "or");
}

std::vector<FrameRate> hopeful_rates(const WallCard& card) {
  std::vector<FrameRate> rates = card.frame_rates;
  std::erase_if(rates, [&](FrameRate fps) {
    return std::find(card.hopeless.begin(), card.hopeless.end(), fps) != card.hopeless.end();
  });
  return rates;
}

/// What to set comes first; where nothing is safe, what comes nearest.
std::string headline(const WallCard& card, bool any_waveform) {
  const std::vector<FrameRate> hopeful = hopeful_rates(card);
  if (hopeful.empty() && card.spoiler) {
    return fmt::format("Without {}: {}", words::front(card.spoiler->name, longest_in_headline),
                       first_of(card.spoiler->serving));
  }
  if (hopeful.empty() && !card.borderline_at_best.empty()) {
    return fmt::format("At best borderline: {}", first_of(card.borderline_at_best));
  }
  if (hopeful.empty()) {
    return any_waveform ? "No shutter is proven safe: measure this light"
                        : "No safe shutter here: change the light";
  }
  if (card.all_clean && card.hopeless.empty()) return "Any of these shutters is safe";
  if (card.serving.empty()) return "Take a filled tile";
  const std::string set = "Set " + first_of(card.serving);
  if (card.frame_rates.size() == 1) return set;
  if (card.hopeless.empty()) return set + " at every frame rate";
  constexpr std::size_t most_rates = 5;
  return hopeful.size() > most_rates ? set + " where it is filled"
                                     : fmt::format("{} at {}", set, rate_list(hopeful));
}

std::string under_the_headline(const WallCard& card) {
  if (card.hopeless.empty() || card.frame_rates.empty()) return {};
  if (card.hopeless.size() == card.frame_rates.size()) {
    if (card.spoiler) {
      return fmt::format("No shutter is safe under all of these lights; {} spoils it.",
                         words::front(card.spoiler->name, longest_in_headline));
    }
    return card.borderline_at_best.empty() ? "" : "No shutter here is safe: change the light.";
  }
  return fmt::format("No shutter is safe at {}.", rate_list(card.hopeless));
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

/// What the light would have to be where no shutter is safe; frame rates that need the same stand
/// together.
std::string needs_of(const ShutterPlan& plan) {
  std::vector<std::pair<std::vector<FrameRate>, std::string>> needs;
  for (const FrameRateOutlook& outlook : plan.outlooks) {
    if (outlook.any_clean || !outlook.needed_percent_flicker) continue;
    const std::string percent = words::percent_at_most(*outlook.needed_percent_flicker);
    if (needs.empty() || needs.back().second != percent) needs.push_back({{}, percent});
    needs.back().first.push_back(outlook.fps);
  }
  std::vector<std::string> parts;
  for (const auto& [rates, percent] : needs) {
    parts.push_back(fmt::format("{} at {}", percent, rate_list(rates)));
  }
  if (parts.empty()) return {};
  constexpr std::size_t most_told = 6;  // more would push the card over its sheet
  if (parts.size() > most_told) {
    const auto least = std::min_element(plan.outlooks.begin(), plan.outlooks.end(),
                                        [](const auto& a, const auto& b) {
                                          return a.needed_percent_flicker.value_or(100.0) <
                                                 b.needed_percent_flicker.value_or(100.0);
                                        });
    return fmt::format(
        "Where no shutter is safe, 180° would be under lights of less flicker: as little as {} at "
        "{} fps. ",
        words::percent_at_most(least->needed_percent_flicker.value_or(100.0)),
        frame_rate_label(least->fps));
  }
  return fmt::format("Where no shutter is safe, 180° would be under lights of less flicker: {}. ",
                     words::listed(parts));
}

std::string explanation(const ShutterPlan& plan, const WallCard& card) {
  const bool margins_shown = card.frame_rates.size() < many_rows;
  std::string explained;
  if (!plan.mains_hz) {
    explained = "No light here follows the mains, so mains drift does not matter. ";
  } else {
    const std::string taken =
        fmt::format("{} Hz ± {} Hz", words::in_digits_at_most(*plan.mains_hz, 5),
                    words::in_digits(plan.mains_tolerance_hz, 2));
    explained = margins_shown
                    ? fmt::format(
                          "Under each safe shutter: how far the mains may drift before it stops "
                          "being safe; it is taken as {}. ",
                          taken)
                    : fmt::format("The mains is taken as {}. ", taken);
  }
  if (plan.clock_tolerance_percent) {
    explained += fmt::format(
        "{} of a light that does not follow the mains {} ± {} %. ",
        margins_shown ? "± %: how far the clock" : "The clock",
        margins_shown ? "may be off; it is taken to stay within" : "is taken to stay within",
        words::in_digits(*plan.clock_tolerance_percent, 2));
  }
  explained += "In hollow tiles: the depth of the bands or pulsing it would record. ";
  explained += needs_of(plan);
  if (card.left_out > 0) {
    explained += fmt::format("{} more shutter{} left out.", card.left_out,
                             card.left_out == 1 ? " is" : "s are");
  }
  return explained;
}

/// Widths in letters, so that every name on the card is set in letters of one size.
void add_columns(View& view, const WallCard& card, const ShutterPlan& plan) {
  std::vector<int> letters = {3};  // "fps"
  for (const FrameRate fps : card.frame_rates) {
    letters[0] = std::max(letters[0], letters_of(frame_rate_label(fps)));
  }
  for (const WallCard::Shutter& shutter : card.shutters) {
    int longest = letters_of(shutter.label);
    for (const auto& index : shutter.cells) {
      if (const Setting* s = at(plan, index)) longest = std::max(longest, letters_of(s->label));
    }
    letters.push_back(longest);
  }
  double all = 0.0;
  for (const int each : letters) all += each + beside_letters;
  for (const int each : letters) {
    View width;
    width.text["percent"] = fmt::format("{:.2f}", 100.0 * (each + beside_letters) / all);
    view.lists["widths"].push_back(width);
  }
  view.text["letters"] = fmt::format("{:.1f}", all);
  view.text["longest"] = std::to_string(*std::max_element(letters.begin(), letters.end()));
  view.text["rows_counted"] = std::to_string(std::max<std::size_t>(card.frame_rates.size(), 1));
  view.text["gaps"] = std::to_string(letters.size() + 1);
  view.text["density"] = card.frame_rates.size() < many_rows ? "few-rows" : "many-rows";
}

}  // namespace

std::string wall_card_html(const ShutterPlan& plan, const WallCard& card) {
  View view;
  const std::string heading = headline(card, some_by_frequency_alone(plan.lights));
  view.text["headline"] = heading;
  if (const std::string words = under_the_headline(card); !words.empty()) {
    View lead;
    lead.text["words"] = words;
    view.lists["lead"] = {lead};
  }
  view.text["lights_named"] = names_of(plan.lights);
  view.text["mains"] = mains_words(plan.mains_hz, plan.mains_tolerance_hz);
  view.text["readout"] = readout_of(plan);
  add_columns(view, card, plan);
  for (const WallCard::Shutter& shutter : card.shutters) {
    View head;
    head.text["label"] = shutter.label;
    view.lists["columns"].push_back(head);
  }
  for (std::size_t i = 0; i < card.frame_rates.size(); ++i) {
    View row;
    row.text["fps"] = frame_rate_label(card.frame_rates[i]);
    for (const WallCard::Shutter& shutter : card.shutters) {
      row.lists["cells"].push_back(cell(at(plan, shutter.cells[i])));
    }
    view.lists["rows"].push_back(row);
  }
  view.text["explained"] = explanation(plan, card);
  view.lists["findings"] = findings_view(card.findings);
  return page(heading + " – " + names_of(plan.lights), "card", "wall_card.css",
              render("wall_card.mustache", view));
}

}  // namespace lampbeat
