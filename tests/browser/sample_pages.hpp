#pragma once

#include <filesystem>
#include <fstream>
#include <string>

#include "report/example_values.hpp"

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
  with.filming =
      lampbeat::FilmingRating{lampbeat::FilmingClass::matched_shutters_only, 1.0 / 120.0, 60.0, {}};
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

inline void write_sample_pages(const std::filesystem::path& folder) {
  using namespace lampbeat;
  std::filesystem::create_directories(folder);
  const PageCompanions with = companions(lost_shot());
  write(folder / "measure.html", measurement_html(panel(), with));
  write(folder / "predict.html", prediction_html(lost_shot(), with));
  write(folder / "card.html", wall_card_of(kitchen_plan(dial())));
  write(folder / "rate.html", shelf_html(shelf()));
  write(folder / "footage.html", footage_html(filmed_wall()));

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

  write(folder / "empty-footage.html", footage_html(FootageResult{}));
  write(folder / "empty-measure.html", measurement_html(Measurement{}));
  write(folder / "empty-card.html", wall_card_of(ShutterPlan{}));
  write(folder / "empty-rate.html", shelf_html(ShelfRating{}));
}

}  // namespace example
