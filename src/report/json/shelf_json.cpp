#include "files/json.hpp"
#include "lampbeat/json.hpp"
#include "report/json/shared_parts.hpp"

namespace lampbeat {

namespace {

using files::json::Json;
using files::json::number;

Json per_second(const std::vector<FrameRate>& rates) {
  Json list = Json::array();
  for (const FrameRate fps : rates) list.push_back(fps.per_s());
  return list;
}

Json fixture(const FixtureRating& f) {
  Json entry = {{"fixture", f.fixture},
                {"capture", f.capture},
                {"level", f.level},
                {"notes", f.notes},
                {"captures", f.captures},
                {"percent_flicker", number(f.percent_flicker)},
                {"flicker_index", number(f.flicker_index)},
                {"dominant_hz", number(f.dominant_hz)},
                {"svm", number(f.svm)},
                {"ieee1789", report::json::ieee1789(f.ieee)},
                {"filming", filming_words(f.filming.filming)},
                {"shortest_clean_exposure_s", number(f.filming.shortest_clean_exposure_s)},
                {"clean_stops", number(f.filming.clean_stops)},
                {"highest_clean_fps", number(f.filming.highest_clean_fps)},
                {"clean_180_fps", per_second(f.filming.clean_180)},
                {"rank", f.rank}};
  entry["standards"] = Json::array();
  for (const StandardVerdict& v : f.standards)
    entry["standards"].push_back(report::json::standard(v));
  entry["warnings"] = files::json::list_of(f.warnings);
  return entry;
}

}  // namespace

std::string to_json(const ShelfRating& rating) {
  Json document = files::json::document("lampbeat.rate/1");
  document["fps"] = per_second(rating.rates);
  document["fixtures"] = Json::array();
  for (const FixtureRating& f : rating.fixtures) document["fixtures"].push_back(fixture(f));
  document["failed"] = Json::array();
  for (const FailedCapture& f : rating.failed) {
    document["failed"].push_back(
        {{"fixture", f.fixture}, {"capture", f.capture}, {"reason", f.reason}});
  }
  document["warnings"] = files::json::list_of(rating.findings);
  return files::json::one_line(document);
}

}  // namespace lampbeat
