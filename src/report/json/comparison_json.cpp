#include "files/json.hpp"
#include "lampbeat/json.hpp"

namespace lampbeat {

namespace {

using files::json::Json;
using files::json::number;

Json text_or_null(const std::string& text) { return text.empty() ? Json(nullptr) : Json(text); }

Json occasion(const std::optional<Occasion>& o) {
  if (!o) return nullptr;
  Json entry{{"source", o->source},
             {"at", text_or_null(o->at)},
             {"measurement_version",
              o->measurement_version ? Json(*o->measurement_version) : Json(nullptr)},
             {"set_up", Json::array()}};
  for (const Condition& c : o->set_up) {
    entry["set_up"].push_back({{"name", c.name}, {"value", c.value}});
  }
  return entry;
}

Json figure(const FigureChange& f) {
  return {{"name", f.before.name},
          {"before", number(f.before.value)},
          {"after", number(f.after.value)},
          {"change", number(f.change)},
          {"uncertainty", number(f.uncertainty)},
          {"changed", f.changed ? Json(*f.changed) : Json(nullptr)},
          {"before_uncertainty", number(f.before.sd)},
          {"after_uncertainty", number(f.after.sd)},
          {"before_at_most", number(f.before.at_most)},
          {"after_at_most", number(f.after.at_most)},
          {"note", text_or_null(f.note)}};
}

/// One point of a course: the figures with their ±.
Json point(const Occasion& o) {
  Json entry{
      {"source", o.source},
      {"at", text_or_null(o.at)},
      {"measurement_version", o.measurement_version ? Json(*o.measurement_version) : Json(nullptr)},
      {"figures", Json::array()}};
  for (const OccasionFigure& f : o.figures) {
    entry["figures"].push_back({{"name", f.name},
                                {"value", number(f.value)},
                                {"uncertainty", number(f.sd)},
                                {"at_most", number(f.at_most)}});
  }
  return entry;
}

Json kind(const Comparison& c) {
  if (c.course.empty()) return nullptr;
  switch (c.course.back().kind) {
    case OccasionKind::light:
      return "light";
    case OccasionKind::clip:
      return "clip";
    case OccasionKind::place:
      return "place";
  }
  return nullptr;
}

Json filming(const std::optional<FilmingRating>& f) {
  return f ? Json(filming_words(f->filming)) : Json(nullptr);
}

Json clean_stops(const std::optional<FilmingRating>& f) {
  return f ? number(f->clean_stops) : Json(nullptr);
}

Json seen(const std::optional<Occasion>& o) {
  return o && o->seen ? Json(verdict_word(*o->seen)) : Json(nullptr);
}

}  // namespace

std::string to_json(const Comparison& c) {
  Json document = files::json::document("lampbeat.compare/1");
  document["fixture"] = c.fixture;
  document["kind"] = kind(c);
  document["verdict"] = change_word(c.verdict);
  document["before"] = occasion(c.before);
  document["after"] = occasion(c.after);
  document["figures"] = Json::array();
  for (const FigureChange& f : c.figures) document["figures"].push_back(figure(f));
  document["filming_before"] = filming(c.filming_before);
  document["filming_after"] = filming(c.filming_after);
  document["clean_stops_before"] = clean_stops(c.filming_before);
  document["clean_stops_after"] = clean_stops(c.filming_after);
  document["seen_before"] = seen(c.before);
  document["seen_after"] = seen(c.after);
  document["reasons"] = files::json::list_of(c.reasons);
  document["course"] = Json::array();
  for (const Occasion& o : c.course) document["course"].push_back(point(o));
  return files::json::one_line(document);
}

}  // namespace lampbeat
