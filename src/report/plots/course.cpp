#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <utility>
#include <vector>

#include "report/comparison_words.hpp"
#include "report/plots/frame.hpp"
#include "report/plots/plots.hpp"
#include "report/plots/ticks.hpp"
#include "words/dates.hpp"

namespace lampbeat::report::plots {

namespace {

constexpr double first_x = 50.0;
constexpr double last_x = plot_width - 16.0;
constexpr double bottom = plot_height - 44.0;
constexpr double top = 26.0;

struct Mark {
  double x = 0.0;
  const Occasion* occasion = nullptr;
  const OccasionFigure* depth = nullptr;
};

const OccasionFigure* depth_of(const Occasion& occasion) {
  const auto found =
      std::find_if(occasion.figures.begin(), occasion.figures.end(),
                   [](const OccasionFigure& f) { return f.role == FigureRole::depth; });
  return found == occasion.figures.end() ? nullptr : &*found;
}

/// Days since the first where all are dated, else one after the other.
struct Moments {
  std::vector<double> at;
  bool dated = false;
};

Moments moments(const std::vector<Occasion>& course) {
  constexpr double seconds_a_day = 86400.0;
  std::vector<double> days;
  for (const Occasion& occasion : course) {
    const auto at = words::time_in(occasion.at);
    if (!at) break;
    days.push_back(static_cast<double>(*at) / seconds_a_day);
  }
  if (days.size() == course.size() && days.back() > days.front()) return {days, true};
  days.clear();
  for (std::size_t i = 0; i < course.size(); ++i) days.push_back(static_cast<double>(i + 1));
  return {days, false};
}

double highest_of(const std::vector<Mark>& marks) {
  double highest = 0.0;
  for (const Mark& mark : marks) {
    const double off = changed_beyond * mark.depth->sd.value_or(0.0);
    highest = std::max(
        highest, mark.depth->value ? *mark.depth->value + off : mark.depth->at_most.value_or(0.0));
  }
  return highest;
}

void draw_mark(Svg& svg, const Mark& mark, const Axis& y) {
  const std::string hover = fmt::format(
      "{}: {}", occasion_words(*mark.occasion, mark.occasion->source), value_words(*mark.depth));
  if (!mark.depth->value) {
    if (mark.depth->at_most)
      svg.circle(mark.x, y.at(*mark.depth->at_most), 4.0, "spot hollow", hover);
    return;
  }
  const double value = *mark.depth->value;
  if (mark.depth->sd) {
    const double off = changed_beyond * *mark.depth->sd;
    const double low = y.at(std::max(value - off, 0.0));
    const double high = y.at(std::min(value + off, y.high));
    svg.line(mark.x, low, mark.x, high, "stem");
    svg.line(mark.x - 4.0, low, mark.x + 4.0, low, "stem");
    svg.line(mark.x - 4.0, high, mark.x + 4.0, high, "stem");
  }
  svg.circle(mark.x, y.at(value), 4.0, "spot", hover);
}

/// The days at the ends are named; more would not fit beside each other.
void name_ends(Svg& svg, const std::vector<Occasion>& course, bool dated) {
  const auto name = [&](const Occasion& occasion, std::size_t number) {
    const auto at = words::time_in(occasion.at);
    return dated && at ? words::utc_day(*at) : fmt::format("{}.", number);
  };
  svg.text(first_x, bottom + 16, name(course.front(), 1), "tick", Anchor::start);
  svg.text(last_x, bottom + 16, name(course.back(), course.size()), "tick", Anchor::end);
  svg.text((first_x + last_x) / 2, bottom + 35, dated ? "when it was measured" : "in this order",
           "axis-name", Anchor::middle);
}

std::string change_label(const Occasion& before, const Occasion& after) {
  const bool version = before.measurement_version != after.measurement_version;
  return version && after.measurement_version
             ? fmt::format("version {}", *after.measurement_version)
             : "set-up";
}

}  // namespace

std::string course_svg(const Comparison& comparison, const std::string& id) {
  const std::vector<Occasion>& course = comparison.course;
  if (course.size() < 2) return {};
  const auto [at, dated] = moments(course);
  const double span = at.back() - at.front();
  const double margin = 0.04 * (last_x - first_x);
  const Axis x{at.front(), at.front() + span, first_x + margin, last_x - margin};
  std::vector<Mark> marks;
  for (std::size_t i = 0; i < course.size(); ++i) {
    const OccasionFigure* depth = depth_of(course[i]);
    if (depth) marks.push_back({x.at(at[i]), &course[i], depth});
  }
  const double highest = marks.empty() ? 0.0 : highest_of(marks);
  if (!(highest > 0.0)) return {};
  constexpr double above = 1.15;
  const Axis y{0.0, highest * above, bottom, top};
  const std::string what = marks.front().depth->what;
  const std::string unit = marks.front().depth->unit;
  Svg svg(id, plot_width, plot_height, fmt::format("Course of {}", comparison.fixture),
          fmt::format("{} of {} measurements, from {} to {}.", what, marks.size(),
                      value_words(*marks.front().depth), value_words(*marks.back().depth)));
  draw_grid(svg, x, {}, "", y, ticks(0.0, y.high, 5),
            unit.empty() ? what : fmt::format("{}, {}", what, unit));
  name_ends(svg, course, dated);
  for (std::size_t i = 1; i < course.size(); ++i) {
    const Findings changed = conditions_changed(course[i - 1], course[i]);
    const bool decides = std::any_of(changed.begin(), changed.end(), [](const Finding& f) {
      return f.code == "set_up_changed" || f.code == "measurement_version_changed";
    });
    if (!decides) continue;
    const double middle = (x.at(at[i - 1]) + x.at(at[i])) / 2;
    svg.line(middle, bottom, middle, top, "mean-line", changed.front().message);
    svg.text(middle, top - 8, change_label(course[i - 1], course[i]), "quiet", Anchor::middle);
  }
  std::vector<std::pair<double, double>> line;
  for (const Mark& mark : marks) {
    if (mark.depth->value) line.emplace_back(mark.x, y.at(*mark.depth->value));
  }
  if (line.size() > 1) svg.path(path_through(line), "floor-line");
  for (const Mark& mark : marks) draw_mark(svg, mark, y);
  return svg.finish();
}

}  // namespace lampbeat::report::plots
