#include <fmt/format.h>

#include <algorithm>

#include "lampbeat/html.hpp"
#include "report/comparison_words.hpp"
#include "report/html/figures.hpp"
#include "report/html/parts.hpp"
#include "report/plots/plots.hpp"

namespace lampbeat {

using namespace report::html;
using namespace report;

namespace {

const OccasionFigure* figure_of(const Occasion& occasion, FigureRole role) {
  const auto found = std::find_if(occasion.figures.begin(), occasion.figures.end(),
                                  [&](const OccasionFigure& f) { return f.role == role; });
  return found == occasion.figures.end() ? nullptr : &*found;
}

std::string words_of(const Occasion& occasion, FigureRole role) {
  const OccasionFigure* found = figure_of(occasion, role);
  return found ? value_words(*found) : "–";
}

std::string cell(const std::string& key, const OccasionFigure& f) {
  return shown_figure(key, f.value, value_words(f));
}

View figure_row(const FigureChange& f, std::size_t i, std::size_t k) {
  const auto key = [&](const char* name) { return fmt::format("{}.figures.{}.{}", i, k, name); };
  View row;
  row.text["what"] = f.before.what;
  row.markup["before"] = cell(key("before"), f.before);
  row.markup["after"] = cell(key("after"), f.after);
  row.markup["change"] = f.change ? shown_figure(key("change"), f.change, change_words(f)) : "";
  row.text["changed"] = changed_words(f);
  return row;
}

/// What changed in the measuring since the occasion before.
std::string conditions_since(const std::vector<Occasion>& course, std::size_t i) {
  if (i == 0) return "";
  std::string words;
  for (const Finding& f : conditions_changed(course[i - 1], course[i])) {
    words += (words.empty() ? "" : " ") + f.message;
  }
  return words;
}

View course_row(const std::vector<Occasion>& course, std::size_t i) {
  View row;
  row.text["when"] = course[i].at.empty() ? fmt::format("{}.", i + 1) : course[i].at;
  row.text["source"] = course[i].source;
  row.text["depth"] = words_of(course[i], FigureRole::depth);
  row.text["rhythm"] = words_of(course[i], FigureRole::rhythm);
  row.text["conditions"] = conditions_since(course, i);
  return row;
}

std::string depth_name(const Comparison& c) {
  const OccasionFigure* depth =
      c.course.empty() ? nullptr : figure_of(c.course.front(), FigureRole::depth);
  std::string name = depth ? depth->what : "percent flicker";
  name.front() = static_cast<char>(name.front() - 'a' + 'A');
  return name;
}

View fixture_view(const Comparison& c, std::size_t i) {
  View view;
  view.text["fixture"] = c.fixture;
  view.text["verdict"] = change_word(c.verdict);
  view.text["depth_name"] = depth_name(c);
  view.markup["tile"] = plots::change_tile(c.verdict);
  view.lists["reasons"] = findings_view(c.reasons);
  for (std::size_t k = 0; k < c.figures.size(); ++k) {
    const FigureChange& f = c.figures[k];
    if (f.before.value || f.after.value) view.lists["figures"].push_back(figure_row(f, i, k));
  }
  if (!view.lists["figures"].empty()) view.lists["has_figures"] = {View{}};
  view.lists["drawing"] =
      drawing(plots::course_svg(c, fmt::format("course-{}", i)),
              "Filled: measured, with how far it may be off. Hollow: nothing found, and it would "
              "have been above the mark. Broken upright lines: the measuring changed.");
  for (std::size_t k = 0; k < c.course.size(); ++k) {
    view.lists["course"].push_back(course_row(c.course, k));
  }
  return view;
}

}  // namespace

std::string comparison_html(const std::vector<Comparison>& comparisons) {
  View view;
  const auto order = by_urgency(comparisons);
  const std::string heading =
      summary_words(comparisons, comparisons.empty() ? "" : comparisons.front().fixture);
  view.text["headline"] = heading;
  view.text["counted"] = "Before and after";
  if (!order.empty()) {
    view.markup["tile"] = plots::change_tile(order.front()->verdict);
    view.text["sentence"] =
        order.front()->reasons.empty()
            ? ""
            : order.front()->fixture + ": " + order.front()->reasons.front().message;
  }
  for (const Comparison* c : order) {
    const auto i = static_cast<std::size_t>(c - comparisons.data());
    view.lists["fixtures"].push_back(fixture_view(*c, i));
  }
  return page(heading, "sheet", {}, render("comparison.mustache", view));
}

}  // namespace lampbeat
