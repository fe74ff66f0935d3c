#pragma once

#include <filesystem>
#include <fstream>
#include <string>

#include "report/example_values.hpp"
#include "report/room_values.hpp"

// Every kind of page, friendly and hostile, written where the browser can open it.

namespace example {

inline std::string hostile() {
  return std::string(
             "<script>document.title='run'</script>\"'&amp;<img src=x onerror=alert(1)>\n") +
         "\x01\x1b[31m\xff\xfe \xe2\x80\xae}}{{{style}}} =1+1 ]]>--> " + std::string(140, 'w');
}

inline lampbeat::Prediction lost_shot() {
  using namespace lampbeat;
  const std::vector<LightShare> lights = {{panel_light(), 1.0}};
  Prediction p = predict(lights, Shot{{24, 1}, 1.0 / 500.0, 0.016, 1080}, {});
  p.findings = {{"photosensitivity",
                 "The whole picture flashes 4 times a second; keep this out of anything shown to "
                 "others."}};
  return p;
}

inline lampbeat::PageCompanions companions(const lampbeat::Prediction& pictured) {
  lampbeat::PageCompanions with;
  with.advice = {"Set 1/60 or 1/120: they span two whole cycles and one whole cycle of this light.",
                 "At 24 frames per second a 180° shutter is 1/48, which is not a whole number of "
                 "cycles here; 1/60 costs a third of a stop."};
  with.pictured = pictured;
  with.filming = lampbeat::FilmingRating{lampbeat::FilmingClass::matched_shutters_only,
                                         1.0 / 120.0,
                                         60.0,
                                         {},
                                         0.02,
                                         {{24, 1}, {60, 1}}};
  with.plan = kitchen_plan(dial());
  with.field = sweep();
  return with;
}

inline void write(const std::filesystem::path& path, const std::string& text) {
  std::ofstream(path, std::ios::binary) << text;
}

inline std::string wall_card_of(const lampbeat::ShutterPlan& plan) {
  return lampbeat::wall_card_html(plan, lampbeat::wall_card(plan));
}

/// Cards with the longest names there are, with every customary frame rate, and of a mixture with a
/// dimmer's own clock.
inline void write_odd_cards(const std::filesystem::path& folder) {
  using namespace lampbeat;
  const std::vector<const char*> customary = {"23.976", "24",  "25",     "29.97", "30",  "47.952",
                                              "48",     "50",  "59.94",  "60",    "100", "119.88",
                                              "120",    "200", "239.76", "240",   "480", "960"};
  write(folder / "card-customary.html", wall_card_of(kitchen_plan(dial(), customary)));
  write(folder / "card-long-names.html",
        wall_card_of(kitchen_plan({"1/55.95", "1/111.9", "1/119.88", "16.6667ms", "8.3333ms",
                                   "0.0083333s", "172.8deg", "345.6deg", "1/1001.23"},
                                  {"23.976", "29.97", "59.94", "119.88"})));
  write(folder / "card-angles.html",
        wall_card_of(kitchen_plan({"180deg", "172.8deg", "144deg", "86.4deg", "11.25deg"},
                                  {"23.976", "24", "25", "29.97"})));
  Light dimmer;
  dimmer.name = "cabinet strip";
  dimmer.components = {{481.3, 0.9, 0.0, std::nullopt}, {962.6, 0.4, 0.0, std::nullopt}};
  PlanRequest request;
  for (const char* rate : customary) request.frame_rates.push_back(parse_frame_rate(rate));
  const std::vector<LightShare> mixed = {{panel_light(), 2.0}, {dimmer, 1.0}};
  write(folder / "card-mixed.html", wall_card_of(plan_shutters(mixed, request)));
  request.frame_rates.resize(8);
  write(folder / "card-dimmer.html",
        wall_card_of(plan_shutters(std::vector<LightShare>{{dimmer, 1.0}}, request)));
}

/// Rooms: the kitchen, one with a lamp and one with a hundred, without a map, long and narrow.
inline void write_rooms(const std::filesystem::path& folder) {
  using namespace lampbeat;
  write(folder / "room.html", room_html(kitchen()));
  write(folder / "room-one-lamp.html", room_html(crowded(1)));
  write(folder / "hostile-room-hundred-lamps.html", room_html(crowded(100)));
  RoomResult r = kitchen();
  r.map.reset();
  write(folder / "room-no-map.html", room_html(r));
  r = kitchen();
  r.room.size_m = {2.0, 14.0, 2.7};
  for (Fixture& f : r.room.fixtures) f.at_m.x /= 4.0;
  r.places.clear();
  r.map = map_of({"cb", "bv", "vs", "..", "cc", "cb", "bb"}, 2.0);
  for (auto& row : r.map->cells) row.resize(1);
  write(folder / "room-narrow.html", room_html(r));
  r = kitchen();
  for (Fixture& f : r.room.fixtures) f.name = f.kind = f.circuit = hostile();
  for (PlaceResult& p : r.places) p.place.name = hostile();
  r.room.name = hostile();
  r.findings = {{hostile(), hostile()}};
  write(folder / "hostile-room.html", room_html(r));
}

inline void write_sample_pages(const std::filesystem::path& folder) {
  using namespace lampbeat;
  std::filesystem::create_directories(folder);
  const PageCompanions with = companions(lost_shot());
  write(folder / "measure.html", measurement_html(panel(), with));
  write(folder / "predict.html", prediction_html(lost_shot(), with));
  write(folder / "card.html", wall_card_of(kitchen_plan(dial())));
  write_odd_cards(folder);
  write(folder / "rate.html", shelf_html(shelf()));
  write(folder / "footage.html", footage_html(filmed_wall()));
  write_rooms(folder);
  write(folder / "compare.html", comparison_html(a_year()));

  Measurement m = panel();
  m.capture = m.capture_kind = hostile();
  m.warnings = {{hostile(), hostile()}};
  m.standards[0].note = m.standards[0].standard = hostile();
  PageCompanions w = with;
  w.advice = {hostile()};
  w.plan->settings[0].label = hostile();
  write(folder / "hostile-measure.html", measurement_html(m, w));
  Prediction p = lost_shot();
  p.lights[0].light.name = p.lights[0].light.source = hostile();
  p.findings = {{hostile(), hostile()}};
  write(folder / "hostile-predict.html", prediction_html(p, w));
  ShutterPlan plan = kitchen_plan(dial());
  plan.lights[0].light.name = hostile();
  plan.findings = {{hostile(), hostile()}};
  write(folder / "hostile-card.html", wall_card_of(plan));
  ShelfRating rating = shelf();
  rating.fixtures[0].fixture = rating.fixtures[0].capture = rating.fixtures[0].notes =
      rating.fixtures[0].level = hostile();
  rating.failed[0] = {hostile(), hostile(), hostile()};
  write(folder / "hostile-rate.html", shelf_html(rating));

  FootageResult clip = filmed_wall();
  clip.clip = clip.suspects[0].name = clip.suspects[0].why = clip.lights[0].why = hostile();
  clip.warnings = {{hostile(), hostile()}};
  write(folder / "hostile-footage.html", footage_html(clip));

  std::vector<Comparison> year = a_year();
  year[0].fixture = year[0].course[0].source = year[0].course[0].at = hostile();
  year[0].reasons = {{hostile(), hostile()}};
  year[0].course[1].set_up = {{hostile(), hostile(), true}};
  write(folder / "hostile-compare.html", comparison_html(year));

  write(folder / "empty-compare.html",
        comparison_html({lampbeat::not_measured("a lamp", {}, "It was not measured.")}));
  write(folder / "empty-footage.html", footage_html(FootageResult{}));
  write(folder / "empty-measure.html", measurement_html(Measurement{}));
  write(folder / "empty-card.html", wall_card_of(ShutterPlan{}));
  write(folder / "empty-rate.html", shelf_html(ShelfRating{}));
}

}  // namespace example
