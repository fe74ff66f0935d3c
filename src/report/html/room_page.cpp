#include <fmt/format.h>

#include <algorithm>
#include <cstddef>

#include "lampbeat/html.hpp"
#include "report/html/figures.hpp"
#include "report/html/parts.hpp"
#include "report/html/room_tables.hpp"
#include "report/plots/floor_plan.hpp"
#include "report/plots/plots.hpp"
#include "report/room_words.hpp"
#include "words/lists.hpp"
#include "words/numbers.hpp"
#include "words/units.hpp"

namespace lampbeat {

using namespace report::html;

namespace {

View one_line(const std::string& words) {
  View view;
  view.text["words"] = words;
  return view;
}

/// The least favourable place gives the page its emblem; nothing where none could be judged.
std::string worst_tile(const RoomResult& r) {
  std::optional<Verdict> worst;
  for (const PlaceResult& p : r.places) {
    if (!p.prediction) continue;
    worst = std::max(worst.value_or(Verdict::clean), p.prediction->worst.verdict);
  }
  return worst ? report::plots::verdict_tile(*worst) : std::string();
}

/// "Strong: B cook's face. Clean: A table and C worktop."
std::string by_verdict(const RoomResult& r) {
  constexpr std::size_t most_named = 6;
  std::string words;
  const auto add = [&](std::string verdict, auto is) {
    std::vector<std::string> names;
    for (std::size_t i = 0; i < r.places.size(); ++i) {
      if (is(r.places[i])) {
        names.push_back(report::plots::place_tag(i) + " " + r.places[i].place.name);
      }
    }
    if (names.empty()) return;
    if (names.size() > most_named) {
      const std::size_t more = names.size() - most_named + 1;
      names.resize(most_named - 1);
      names.push_back(fmt::format("{} more", more));
    }
    verdict[0] = static_cast<char>(verdict[0] - 'a' + 'A');
    words += fmt::format("{}{}: {}.", words.empty() ? "" : " ", verdict, words::listed(names));
  };
  for (const Verdict verdict :
       {Verdict::strong, Verdict::visible, Verdict::borderline, Verdict::clean}) {
    add(verdict_word(verdict), [&](const PlaceResult& p) {
      return p.prediction && p.prediction->worst.verdict == verdict;
    });
  }
  add(look_word(report::plots::CellLook::no_light),
      [](const PlaceResult& p) { return !p.prediction; });
  return words;
}

std::string map_caption(const RoomResult& r, std::size_t unlabelled) {
  std::string words;
  if (r.map) {
    words = fmt::format(
        "Each cell, {} m wide: the worst case on a level surface {} m above the floor. ",
        words::in_decimals_at_most(r.map->step_m, 2),
        words::in_decimals_at_most(r.map->height_m, 2));
  }
  words +=
      "Numbered discs and bars: fixtures, bars as long as they are. Lettered diamonds: places. The "
      "dot at the bottom left is the corner (0, 0); y runs upwards.";
  if (unlabelled > 0) {
    words += fmt::format(" {} of the marks had no room for a label; the lists below place them.",
                         unlabelled);
  }
  return words;
}

void add_maps(View& view, const RoomResult& r) {
  const report::plots::LabelledDrawing map = report::plots::room_map_svg(r);
  view.lists["map"] = drawing(map.svg, map_caption(r, map.unlabelled));
  for (View& each : view.lists["map"]) {
    each.text["heading"] = r.map ? "Where bands would show" : "The room from above";
  }
  view.lists["light_map"] =
      drawing(report::plots::light_map_svg(r),
              "Lux on the same cells; the numbers are those of the lines they stand at. The more "
              "ink, the more light (in the dark: the brighter).");
}

}  // namespace

std::string room_html(const RoomResult& r) {
  View view;
  const std::string headline = report::room_verdict(r);
  const std::string name = r.room.name.empty() ? "A room" : r.room.name;
  view.text["kicker"] =
      fmt::format("{}, {} × {} m, {} m high", name, words::in_decimals_at_most(r.room.size_m.x, 2),
                  words::in_decimals_at_most(r.room.size_m.y, 2),
                  words::in_decimals_at_most(r.room.size_m.z, 2));
  view.text["headline"] = headline;
  for (const std::string& words : {by_verdict(r), report::map_words(r)}) {
    if (!words.empty()) view.lists["lead"].push_back(one_line(words));
  }
  view.markup["tile"] = worst_tile(r);
  add_maps(view, r);
  view.lists["places"] = place_cards(r);
  if (!r.places.empty()) view.lists["has_places"] = {View{}};
  view.lists["fixtures"] = fixture_rows(r.room);
  view.lists["how"] = how_judged(r);
  view.lists["findings"] = findings_view(shared_findings(r));
  if (view.lists["findings"].empty()) view.lists["no_findings"] = {View{}};
  return page(fmt::format("{}: {}", name, headline), "sheet", "room.css",
              render("room.mustache", view));
}

}  // namespace lampbeat
