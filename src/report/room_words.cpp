#include "report/room_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "report/hidden_light.hpp"
#include "words/foreign_text.hpp"
#include "words/lists.hpp"
#include "words/numbers.hpp"
#include "words/units.hpp"

namespace lampbeat::report {

namespace {

constexpr int name_columns = 32;

std::string fixture_name(const Room& room, std::size_t fixture) {
  return words::shown_name(room.fixtures[fixture].name, name_columns);
}

std::string part(double share) { return fmt::format("{:.0f} %", 100.0 * share); }

std::string shot_words(const Shot& shot) {
  return fmt::format("{} frames a second at {}", frame_rate_label(shot.fps),
                     exposure_label(shot.exposure_s));
}

constexpr const char* as_far = ", as far as was measured";

/// Whether it is clean only because what could show may be hidden.
bool hidden(const PlaceResult& p) {
  return p.prediction && is_clean(p.prediction->worst) && hides_what_could_show(*p.prediction);
}

bool clean(const PlaceResult& p) { return p.prediction && is_clean(p.prediction->worst); }

}  // namespace

std::string lux_words(double lux) {
  constexpr double least_told = 0.1;
  if (lux < least_told) return "under 0.1 lx";
  // No light level is known to a fourth digit.
  const double third = std::pow(10.0, std::floor(std::log10(lux)) - 2.0);
  return words::in_digits_at_most(third * std::round(lux / third), 3) + " lx";
}

std::string share_words(const PlaceResult& place, const Room& room) {
  constexpr std::size_t told = 4;
  std::vector<std::string> parts;
  double others = 0.0;
  for (std::size_t i = 0; i < place.shares.size(); ++i) {
    const FixtureShare& s = place.shares[i];
    if (i < told) {
      parts.push_back(fixture_name(room, s.fixture) + " " + part(s.share));
    } else {
      others += s.share;
    }
  }
  if (place.shares.size() == told + 1) {
    parts.push_back(fixture_name(room, place.shares.back().fixture) + " " + part(others));
  } else if (place.shares.size() > told) {
    parts.push_back(fmt::format("{} others {}", place.shares.size() - told, part(others)));
  }
  return words::listed(parts);
}

std::string change_words(const RoomChange& c, const Room& room) {
  const std::string after = verdict_word(c.verdict_after);
  const std::string name = c.fixture ? fixture_name(room, *c.fixture) : "";
  switch (c.action) {
    case RoomAction::switch_off:
      return fmt::format("Switch off '{}': {} then, with {} left.", name, after,
                         lux_words(c.illuminance_after_lux));
    case RoomAction::swap:
      return fmt::format("Swap '{}' for a steady fixture of the same light: {} then.", name, after);
    case RoomAction::move:
      return fmt::format("Have '{}' moved to {}: {} then.", name, conductor_words(c.conductor),
                         after);
    case RoomAction::add_steady_light:
      return fmt::format("Add {} of steady light here: {} then, with {} in all.",
                         lux_words(*c.steady_lux), after, lux_words(c.illuminance_after_lux));
  }
  return "";
}

std::string best_words(const PlaceResult& place) {
  std::vector<std::string> labels;
  for (const Setting& s : place.best) {
    if (is_clean(s.worst)) labels.push_back(s.label);
  }
  if (!labels.empty())
    return words::listed(labels) + (labels.size() > 1 ? " are" : " is") + " clean";
  if (place.best.empty()) return "none fits the frame";
  std::string words = fmt::format("none is clean; {} is {}", place.best.front().label,
                                  verdict_word(place.best.front().worst.verdict));
  if (place.slower) {
    words += fmt::format("; at {} frames a second {} is clean", frame_rate_label(place.slower->fps),
                         place.slower->label);
  }
  return words;
}

std::string place_verdict(const PlaceResult& place) {
  if (!place.prediction) return "not known";
  return fmt::format("{}{}", verdict_word(place.prediction->worst.verdict),
                     hidden(place) ? as_far : "");
}

std::string room_verdict(const RoomResult& r) {
  const auto cleans = std::count_if(r.places.begin(), r.places.end(), clean);
  const std::string shot =
      shot_words(r.shot) + (std::any_of(r.places.begin(), r.places.end(), hidden) ? as_far : "");
  const auto all = static_cast<std::ptrdiff_t>(r.places.size());
  const bool dark = std::none_of(r.places.begin(), r.places.end(),
                                 [](const PlaceResult& p) { return p.prediction.has_value(); });
  if (all == 0) return fmt::format("No places are named in this room; {}.", shot);
  if (cleans == all) {
    return all == 1 ? fmt::format("Clean: {} can be filmed in at {}.",
                                  words::quoted(r.places.front().place.name), shot)
                    : fmt::format("Clean at all {} places: {}.", all, shot);
  }
  const std::string one = all == 1 ? words::quoted(r.places.front().place.name) : "";
  if (dark) {
    return all == 1 ? fmt::format("No light to judge at {}: {}.", one, shot)
                    : fmt::format("No light to judge at any of {} places: {}.", all, shot);
  }
  if (all == 1) return fmt::format("Not clean at {}: {}.", one, shot);
  if (cleans == 0) return fmt::format("Clean at none of {} places: {}.", all, shot);
  return fmt::format("Clean at {} of {} places: {}.", cleans, all, shot);
}

std::string map_words(const RoomResult& r) {
  if (!r.map) return "";
  std::size_t cells = 0;
  std::size_t clean_cells = 0;
  for (const auto& row : r.map->cells) {
    for (const MapCell& cell : row) {
      ++cells;
      if (cell.visibility && cell.verdict == Verdict::clean) ++clean_cells;
    }
  }
  if (cells == 0) return "";
  // Rounded down, for no more of it was found clean.
  return fmt::format("Clean on {} % of the floor, {} m above it.", 100 * clean_cells / cells,
                     words::in_decimals_at_most(r.map->height_m, 2));
}

void add_once(Findings& all, const Finding& finding) {
  const bool told = std::any_of(all.begin(), all.end(), [&](const Finding& f) {
    return f.code == finding.code && f.message == finding.message;
  });
  if (!told) all.push_back(finding);
}

Findings all_findings(const RoomResult& r) {
  Findings all;
  for (const PlaceResult& p : r.places) {
    for (Finding f : p.findings) {
      f.message = fmt::format("{}: {}", words::shown_name(p.place.name), f.message);
      add_once(all, f);
    }
    if (!p.prediction) continue;
    for (const Finding& f : p.prediction->findings) add_once(all, f);
  }
  for (const Finding& f : r.findings) add_once(all, f);
  return all;
}

}  // namespace lampbeat::report
