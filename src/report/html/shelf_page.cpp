#include <fmt/format.h>

#include <algorithm>

#include "lampbeat/html.hpp"
#include "report/html/figures.hpp"
#include "report/html/parts.hpp"
#include "report/plots/plots.hpp"
#include "words/lists.hpp"

namespace lampbeat {

using namespace report::html;

namespace {

std::string decided_by(const FixtureRating& f) {
  std::string words = f.capture;
  if (!f.level.empty()) words = fmt::format("{}, from {}", f.level, f.capture);
  if (f.captures > 1) words += fmt::format("; worst of {} captures", f.captures);
  return words;
}

View fixture_row(const FixtureRating& f, std::size_t i) {
  const auto key = [&](const char* name) { return fmt::format("fixtures.{}.{}", i, name); };
  View row;
  row.text["rank"] = std::to_string(f.rank);
  row.text["fixture"] = f.fixture;
  row.text["decided_by"] = decided_by(f);
  if (!f.notes.empty()) {
    View notes;
    notes.text["notes"] = f.notes;
    row.lists["has_notes"] = {notes};
  }
  row.markup["tile"] = report::plots::filming_tile(f.filming.filming);
  row.text["filming"] = filming_words(f.filming.filming);
  row.markup["shortest"] =
      exposure_figure(key("shortest_clean_exposure_s"), f.filming.shortest_clean_exposure_s);
  row.markup["stops"] = clean_stops_figure(key("clean_stops"), f.filming.clean_stops);
  row.markup["clean_180"] = fps_figure(key("highest_clean_fps"), f.filming.clean_180);
  row.markup["percent"] = figure(key("percent_flicker"), f.percent_flicker, "%");
  row.markup["bar"] = bar(f.percent_flicker);
  row.markup["index"] = figure(key("flicker_index"), f.flicker_index, "");
  row.markup["hz"] = f.dominant_hz ? rhythm_figure(key("dominant_hz"), f.dominant_hz)
                                   : "<span class=\"absent\">none found</span>";
  row.markup["svm"] = figure(key("svm"), f.svm, "");
  row.text["ieee"] = f.ieee ? level_words(f.ieee->level) : "not measured";
  return row;
}

/// One of the standards the light does not keep: what was measured, and how much is allowed.
View failure(const StandardVerdict& s) {
  View view;
  view.text["standard"] = s.standard;
  view.text["quantity"] = s.quantity;
  view.markup["value"] = figure(s.quantity, s.value, s.unit);
  view.markup["limit"] = figure("limit", s.limit, s.unit);
  return view;
}

/// All standards of one light in one row: those it fails by name, those that nothing is known of by
/// their quantity, the others counted.
View standards_row(const FixtureRating& f) {
  View row;
  row.text["fixture"] = f.fixture;
  std::vector<std::string> unknown;
  int within = 0;
  for (const StandardVerdict& s : f.standards) {
    if (!s.met) {
      if (std::find(unknown.begin(), unknown.end(), s.quantity) == unknown.end()) {
        unknown.push_back(s.quantity);
      }
    } else if (*s.met) {
      ++within;
    } else {
      row.lists["over"].push_back(failure(s));
    }
  }
  if (row.lists["over"].empty()) row.lists["none_over"] = {View{}};
  row.text["within"] = std::to_string(within);
  row.text["unknown"] = unknown.empty() ? "–" : words::listed(unknown);
  return row;
}

std::string counted_by_class(const ShelfRating& rating) {
  int counts[4] = {0, 0, 0, 0};
  for (const FixtureRating& f : rating.fixtures) ++counts[static_cast<int>(f.filming.filming)];
  return fmt::format(
      "{} of {} can be filmed at any shutter, {} at ordinary shutters (1/100 s and longer), {} at "
      "matched shutters only, {} at no safe shutter.",
      counts[0], rating.fixtures.size(), counts[1], counts[2], counts[3]);
}

}  // namespace

std::string shelf_html(const ShelfRating& rating) {
  View view;
  std::string heading = "No fixture could be rated";
  if (!rating.fixtures.empty()) {
    const FixtureRating& best = rating.fixtures.front();
    const auto firsts = std::count_if(rating.fixtures.begin(), rating.fixtures.end(),
                                      [](const FixtureRating& f) { return f.rank == 1; });
    heading = firsts > 1 ? fmt::format("{} fixtures share first place", firsts)
                         : fmt::format("First: {}", best.fixture);
    view.markup["tile"] = report::plots::filming_tile(best.filming.filming);
    view.text["sentence"] = counted_by_class(rating);
  }
  view.text["headline"] = heading;
  std::vector<std::string> rates;
  for (const FrameRate fps : rating.rates) rates.push_back(frame_rate_label(fps));
  view.text["rates"] = words::listed(rates);
  view.text["counted"] = fmt::format("{} fixture{} rated, {} not", rating.fixtures.size(),
                                     rating.fixtures.size() == 1 ? "" : "s", rating.failed.size());
  for (std::size_t i = 0; i < rating.fixtures.size(); ++i) {
    const FixtureRating& f = rating.fixtures[i];
    view.lists["fixtures"].push_back(fixture_row(f, i));
    if (!f.standards.empty()) view.lists["standards"].push_back(standards_row(f));
    for (View& finding : findings_view(f.warnings)) {
      finding.text["fixture"] = f.fixture;
      view.lists["findings"].push_back(std::move(finding));
    }
  }
  for (View& finding : findings_view(rating.findings)) {
    finding.text["fixture"] = "All";
    view.lists["findings"].push_back(std::move(finding));
  }
  for (const FailedCapture& failed : rating.failed) {
    View row;
    row.text["fixture"] = failed.fixture;
    row.text["capture"] = failed.capture;
    row.text["reason"] = failed.reason;
    view.lists["failed"].push_back(row);
  }
  if (!rating.failed.empty()) view.lists["has_failed"] = {View{}};
  if (!view.lists["standards"].empty()) view.lists["has_standards"] = {View{}};
  if (view.lists["findings"].empty()) view.lists["no_findings"] = {View{}};
  return page(heading, "sheet", {}, render("shelf.mustache", view));
}

}  // namespace lampbeat
