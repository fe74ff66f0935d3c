#include <fmt/format.h>

#include "lampbeat/text.hpp"
#include "lampbeat/text_style.hpp"
#include "report/room_words.hpp"
#include "report/visibility_words.hpp"
#include "words/foreign_text.hpp"
#include "words/sections.hpp"
#include "words/table.hpp"
#include "words/units.hpp"
#include "words/wrapping.hpp"

namespace lampbeat {

namespace {

std::vector<words::TableRow> rows_of(const PlaceResult& p, const Room& room) {
  std::vector<words::TableRow> rows;
  if (!p.prediction) return {{"light", "none of these fixtures", ""}};
  const Recorded& worst = p.prediction->worst;
  rows.push_back({shown_word(worst), words::percent(shown_percent(worst)),
                  fmt::format("at worst; visibility {} (1 = just visible on a plain wall)",
                              report::visibility_words(worst.visibility))});
  rows.push_back({"light", report::lux_words(p.illuminance_lux), report::share_words(p, room)});
  rows.push_back({"shutters", report::best_words(p), ""});
  const char* label = "change";
  for (const RoomChange& change : p.changes) {
    rows.push_back({label, report::change_words(change, room), ""});
    label = "or";
  }
  return rows;
}

}  // namespace

std::string to_text(const RoomResult& r, const TextStyle& style) {
  std::string result = words::bold(words::wrapped(report::room_verdict(r), style.width), style);
  result += "\n";
  for (const PlaceResult& p : r.places) {
    result += "\n" + words::bold(words::shown_name(p.place.name), style) + ": " +
              report::place_verdict(p) + "\n";
    result += words::table(rows_of(p, r.room), style);
  }
  const std::string map = report::map_words(r);
  if (!map.empty()) result += "\n" + words::wrapped(map, style.width) + "\n";
  result += "\n" + words::findings("What to know", report::all_findings(r), style);
  return result;
}

}  // namespace lampbeat
