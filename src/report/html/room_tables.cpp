#include "report/html/room_tables.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "report/html/figures.hpp"
#include "report/html/parts.hpp"
#include "report/plots/floor_plan.hpp"
#include "report/plots/plots.hpp"
#include "report/room_words.hpp"
#include "words/numbers.hpp"
#include "words/units.hpp"

namespace lampbeat::report::html {

namespace {

std::string metres(double value_m) { return words::in_decimals_at_most(value_m, 2); }

std::string point_words(const Vector3& at_m) {
  return fmt::format("x {}, y {}, {} m up", metres(at_m.x), metres(at_m.y), metres(at_m.z));
}

/// "up", "along x", or the direction's own numbers.
std::string direction_words(const Vector3& way) {
  constexpr double nearly = 0.999;  // within 2.6°
  if (way.z > nearly) return "up";
  if (way.z < -nearly) return "down";
  if (way.x > nearly) return "along x";
  if (way.x < -nearly) return "against x";
  if (way.y > nearly) return "along y";
  if (way.y < -nearly) return "against y";
  return fmt::format("along ({}, {}, {})", metres(way.x), metres(way.y), metres(way.z));
}

std::string surface_words(const Vector3& facing) {
  const std::string way = direction_words(facing);
  if (way == "up") return "a level surface from above";
  if (way == "down") return "a level surface from below";
  constexpr double upright = 0.05;
  return fmt::format("{} facing {}",
                     std::abs(facing.z) < upright ? "an upright surface" : "a slanting surface",
                     way);
}

View plain_entry(const std::string& name, const std::string& words) {
  View view;
  view.text["name"] = name;
  view.text["plain"] = words;
  return view;
}

bool told_by(const PlaceResult& p, const Finding& finding) {
  if (!p.prediction) return false;
  const Findings& all = p.prediction->findings;
  return std::any_of(all.begin(), all.end(), [&](const Finding& f) {
    return f.code == finding.code && f.message == finding.message;
  });
}

bool told_by_one(const RoomResult& r, const Finding& finding) {
  return r.places.size() > 1 &&
         std::count_if(r.places.begin(), r.places.end(),
                       [&](const PlaceResult& p) { return told_by(p, finding); }) == 1;
}

Findings own_findings(const RoomResult& r, const PlaceResult& p) {
  Findings own = p.findings;
  if (!p.prediction) return own;
  for (const Finding& f : p.prediction->findings) {
    if (told_by_one(r, f)) own.push_back(f);
  }
  return own;
}

void add_shares(View& card, const RoomResult& r, std::size_t i) {
  constexpr std::size_t most = 6;
  const std::vector<FixtureShare>& shares = r.places[i].shares;
  const std::size_t told = shares.size() <= most ? shares.size() : most - 1;
  double others = 0.0;
  for (std::size_t k = 0; k < shares.size(); ++k) {
    if (k >= told) {
      others += shares[k].share;
      continue;
    }
    const std::size_t fixture = shares[k].fixture;
    View row;
    row.text["name"] = plots::fixture_tag(fixture) + " " + r.room.fixtures[fixture].name;
    row.markup["share"] =
        share_figure(fmt::format("places.{}.shares.{}.share", i, k), shares[k].share);
    row.markup["bar"] = bar(100.0 * shares[k].share);
    card.lists["shares"].push_back(row);
  }
  if (told < shares.size()) {
    View row;
    row.text["name"] = fmt::format("{} others", shares.size() - told);
    row.markup["share"] = share_figure("share_of_others", others);
    row.markup["bar"] = bar(100.0 * others);
    card.lists["others"] = {row};
  }
  if (!shares.empty()) card.lists["has_shares"] = {View{}};
}

void add_shutters(View& card, const PlaceResult& p) {
  for (const Setting& s : p.best) {
    View row;
    row.markup["tile"] = plots::verdict_tile(s.worst.verdict);
    row.text["label"] = s.label;
    row.text["verdict"] = verdict_word(s.worst.verdict);
    card.lists["best"].push_back(row);
  }
  if (!p.best.empty()) card.lists["has_best"] = {View{}};
  if (p.slower) {
    View row;
    row.text["words"] = fmt::format("At {} frames a second {} is clean.",
                                    frame_rate_label(p.slower->fps), p.slower->label);
    card.lists["slower"] = {row};
  }
}

std::vector<View> place_facts(const PlaceResult& p, std::size_t i) {
  const auto key = [&](const char* name) { return fmt::format("places.{}.{}", i, name); };
  std::vector<View> facts;
  if (p.prediction) {
    const Recorded& worst = p.prediction->worst;
    facts.push_back(fact("against the threshold of seeing",
                         visibility_figure(key("visibility"), worst.visibility)));
    facts.push_back(fact("bands at worst", figure(key("band_percent"), worst.band_percent, "%")));
    facts.push_back(
        fact("pulsing at worst", figure(key("pulse_percent"), worst.pulse_percent, "%")));
  }
  facts.push_back(fact("light", lux_figure(key("illuminance_lux"), p.illuminance_lux)));
  facts.push_back(plain_entry("filmed here", surface_words(p.place.facing)));
  facts.push_back(plain_entry("where", point_words(p.place.at_m)));
  return facts;
}

View place_card(const RoomResult& r, std::size_t i) {
  const PlaceResult& p = r.places[i];
  View card;
  card.text["tag"] = plots::place_tag(i);
  card.text["name"] = p.place.name;
  card.text["sentence"] =
      p.prediction ? headline(*p.prediction) : "No light of these fixtures falls here";
  card.markup["tile"] =
      p.prediction ? plots::verdict_tile(p.prediction->worst.verdict) : plots::no_light_tile();
  card.lists["facts"] = place_facts(p, i);
  add_shares(card, r, i);
  add_shutters(card, p);
  for (const RoomChange& change : p.changes) {
    View row;
    row.text["sentence"] = change_words(change, r.room);
    card.lists["changes"].push_back(row);
  }
  if (!p.changes.empty()) card.lists["has_changes"] = {View{}};
  card.lists["findings"] = findings_view(own_findings(r, p));
  if (!card.lists["findings"].empty()) card.lists["has_findings"] = {View{}};
  return card;
}

std::string beam_words(const Fixture& f) {
  if (f.bare) return "all round its axis";
  std::string words = f.half_angle_deg
                          ? fmt::format("half at {}° off its middle",
                                        words::in_decimals_at_most(*f.half_angle_deg, 1))
                          : std::string("flat, half at 60°");
  const std::string way = direction_words(f.aim);
  return way == "down" ? words : words + ", aimed " + way;
}

std::string output_figure(const Fixture& f) {
  const std::string lumens = figure("lumens", f.lumens, "lm");
  if (!(f.dim * f.lumens > 0.0)) return lumens + ", off";
  return f.dim < 1.0 ? lumens + ", dimmed to " + share_figure("dim", f.dim) : lumens;
}

std::string circuit_words(const Fixture& f) {
  const std::string conductor = conductor_words(f.conductor);
  if (conductor.empty()) return f.circuit.empty() ? "not said" : f.circuit;
  return f.circuit.empty() ? conductor : fmt::format("{}, {}", f.circuit, conductor);
}

}  // namespace

std::vector<View> place_cards(const RoomResult& room) {
  std::vector<View> cards;
  for (std::size_t i = 0; i < room.places.size(); ++i) cards.push_back(place_card(room, i));
  return cards;
}

std::vector<View> fixture_rows(const Room& room) {
  std::vector<View> rows;
  for (std::size_t i = 0; i < room.fixtures.size(); ++i) {
    const Fixture& f = room.fixtures[i];
    View row;
    row.text["tag"] = plots::fixture_tag(i);
    row.text["name"] = f.name;
    row.text["kind"] = f.kind;
    row.text["rhythm"] = rhythm_words(f.light);
    row.text["where"] = point_words(f.at_m);
    if (f.length_m > 0.0) {
      row.text["where"] +=
          fmt::format("; {} m long, {}", metres(f.length_m), direction_words(f.along));
    }
    row.markup["output"] = output_figure(f);
    row.text["beam"] = beam_words(f);
    row.text["circuit"] = circuit_words(f);
    rows.push_back(row);
  }
  return rows;
}

std::vector<View> how_judged(const RoomResult& r) {
  const Shot& shot = r.shot;
  std::vector<View> facts;
  facts.push_back(fact("frame rate", fps_figure("fps", {&shot.fps, 1})));
  facts.push_back(plain_entry("shutter", exposure_label(shot.exposure_s)));
  facts.push_back(plain_entry(
      "readout", readout_words(shot.readout_s) + (shot.readout_assumed ? ", assumed" : "")));
  if (r.options.mains_hz) {
    facts.push_back(fact("mains", rhythm_figure("mains_hz", r.options.mains_hz)));
  }
  facts.push_back(
      fact("light thrown back by the room",
           share_figure("reflected_share", r.room.reflected_share) +
               (r.room.reflected_share_assumed ? " <small>common practice</small>" : "")));
  return facts;
}

Findings shared_findings(const RoomResult& r) {
  Findings shared;
  for (const PlaceResult& p : r.places) {
    if (!p.prediction) continue;
    for (const Finding& f : p.prediction->findings) {
      if (!told_by_one(r, f)) add_once(shared, f);
    }
  }
  for (const Finding& f : r.findings) add_once(shared, f);
  return shared;
}

}  // namespace lampbeat::report::html
