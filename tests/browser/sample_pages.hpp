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

inline lampbeat::PageCompanions companions(const std::string& picture_png) {
  lampbeat::PageCompanions with;
  with.advice = {"Set 1/60 or 1/120: they span two whole cycles and one whole cycle of this light.",
                 "At 24 frames per second a 180° shutter is 1/48, which is not a whole number of "
                 "cycles here; 1/60 costs a third of a stop."};
  with.picture_png = picture_png;
  with.picture_note = "a plain wall at 24 fps, 1/500, readout 16 ms";
  with.filming =
      lampbeat::FilmingRating{lampbeat::FilmingClass::matched_shutters_only, 1.0 / 120.0, 60.0, {}};
  with.plan = kitchen_plan(dial());
  with.field = sweep();
  return with;
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

inline void write(const std::filesystem::path& path, const std::string& text) {
  std::ofstream(path, std::ios::binary) << text;
}

/// A grey-banded picture is the picture module's work; any small PNG serves to see it placed.
inline std::string small_png() {
  const unsigned char bytes[] = {0x89, 'P', 'N',  'G',  0x0d, 0x0a, 0x1a, 0x0a, 0,    0, 0, 0x0d,
                                 'I',  'H', 'D',  'R',  0,    0,    0,    1,    0,    0, 0, 1,
                                 8,    0,   0,    0,    0,    0x3a, 0x7e, 0x9b, 0x55, 0, 0, 0,
                                 0x0a, 'I', 'D',  'A',  'T',  0x78, 0x9c, 0x63, 0x68, 0, 0, 0,
                                 0x82, 0,   0x81, 0x77, 0xcd, 0x72, 0xb6, 0,    0,    0, 0, 'I',
                                 'E',  'N', 'D',  0xae, 0x42, 0x60, 0x82};
  return {reinterpret_cast<const char*>(bytes), sizeof bytes};
}

inline void write_sample_pages(const std::filesystem::path& folder) {
  using namespace lampbeat;
  std::filesystem::create_directories(folder);
  const PageCompanions with = companions(small_png());
  write(folder / "measure.html", measurement_html(panel(), with));
  write(folder / "predict.html", prediction_html(lost_shot(), with));
  write(folder / "card.html", shutter_card_html(kitchen_plan(dial())));
  write(folder / "rate.html", shelf_html(shelf()));

  Measurement m = panel();
  m.capture = m.capture_kind = hostile();
  m.warnings = {{hostile(), hostile()}};
  m.standards[0].note = m.standards[0].standard = hostile();
  PageCompanions w = with;
  w.advice = {hostile()};
  w.picture_note = hostile();
  w.plan->settings[0].label = hostile();
  write(folder / "hostile-measure.html", measurement_html(m, w));
  Prediction p = lost_shot();
  p.lights[0].light.name = p.lights[0].light.source = hostile();
  p.findings = {{hostile(), hostile()}};
  write(folder / "hostile-predict.html", prediction_html(p, w));
  ShutterPlan plan = kitchen_plan(dial());
  plan.lights[0].light.name = hostile();
  plan.findings = {{hostile(), hostile()}};
  write(folder / "hostile-card.html", shutter_card_html(plan));
  ShelfRating rating = shelf();
  rating.fixtures[0].fixture = rating.fixtures[0].capture = rating.fixtures[0].notes =
      rating.fixtures[0].level = hostile();
  rating.failed[0] = {hostile(), hostile(), hostile()};
  write(folder / "hostile-rate.html", shelf_html(rating));

  write(folder / "empty-measure.html", measurement_html(Measurement{}));
  write(folder / "empty-card.html", shutter_card_html(ShutterPlan{}));
  write(folder / "empty-rate.html", shelf_html(ShelfRating{}));
}

}  // namespace example
