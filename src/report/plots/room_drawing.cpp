#include "report/plots/room_drawing.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "report/plots/frame.hpp"
#include "report/plots/ticks.hpp"
#include "words/numbers.hpp"

namespace lampbeat::report::plots {

namespace {

// Drawing units: left of the floor its metres, under it the same and the legend.
constexpr double floor_left = 48.0;
constexpr double floor_right = plot_width - 14.0;
constexpr double floor_top = 12.0;
constexpr double tallest_floor = 400.0;
constexpr double beneath = 46.0;
constexpr double legend_line = 24.0;
constexpr double swatch = 16.0;
constexpr double beside_swatch = 5.0;
constexpr double label_size = 12.5;
constexpr double tube_thickness = 6.0;
constexpr double lamp_radius = 5.0;
constexpr double place_radius = 6.5;

std::string metre_words(double value_m) { return words::in_decimals_at_most(value_m, 2) + " m"; }

Marked draw_fixture(Svg& svg, const FloorPlan& plan, const RoomResult& r, std::size_t i) {
  const Fixture& fixture = r.room.fixtures[i];
  const auto [x1, y1, x2, y2] = plan.line(line_of(fixture, r.room.size_m));
  const bool is_off = !gives_light(fixture);
  const std::string hover = fmt::format("{} {}, {}, {} up{}", fixture_tag(i), fixture.name,
                                        where_words(fixture.at_m.x, fixture.at_m.y),
                                        metre_words(fixture.at_m.z), is_off ? ", off" : "");
  Marked marked{fixture_tag(i), fixture.name, {}, false};
  if (std::hypot(x2 - x1, y2 - y1) > 2.0 * lamp_radius) {
    svg.line(x1, y1, x2, y2, "tube-edge");
    svg.line(x1, y1, x2, y2, is_off ? "tube off" : "tube", hover);
    marked.marks = boxes_along(x1, y1, x2, y2, tube_thickness + 2.0);
  } else {
    const double x = plan.x(fixture.at_m.x);
    const double y = plan.y(fixture.at_m.y);
    svg.circle(x, y, lamp_radius, is_off ? "lamp off" : "lamp", hover);
    marked.marks = {box_around(x, y, lamp_radius + 1.0)};
  }
  return marked;
}

Marked draw_place(Svg& svg, const FloorPlan& plan, const RoomResult& r, std::size_t i) {
  const Place& place = r.places[i].place;
  const double x = plan.x(place.at_m.x);
  const double y = plan.y(place.at_m.y);
  svg.path(fmt::format("M{:.2f} {:.2f}l{r} {r}l-{r} {r}l-{r} -{r}Z", x, y - place_radius,
                       fmt::arg("r", place_radius)),
           "place-mark",
           fmt::format("{} {}, {}, {} up", place_tag(i), place.name,
                       where_words(place.at_m.x, place.at_m.y), metre_words(place.at_m.z)));
  return {place_tag(i), place.name, {box_around(x, y, place_radius + 1.0)}, true};
}

}  // namespace

std::string where_words(double x_m, double y_m) {
  return fmt::format("x {}, y {}", metre_words(x_m), metre_words(y_m));
}

Lettering page_lettering() {
  return {label_size + 3.0,
          [](const std::string& words) { return widest_text(words, label_size) + 6.0; }};
}

RoomSheet room_sheet(const RoomResult& room, const std::vector<LegendEntry>& legend) {
  RoomSheet sheet;
  sheet.plan = floor_plan(room.room.size_m, room.map ? room.map->step_m : 0.0,
                          {floor_left, floor_top, floor_right, floor_top + tallest_floor});
  std::vector<double> widths;
  for (const auto& [css_class, words] : legend) {
    widths.push_back(swatch + beside_swatch + widest_text(words, label_size) + beside_swatch);
  }
  sheet.legend = in_lines(widths, floor_left, floor_right, legend_line);
  const double under = sheet.plan.box.bottom + beneath;
  for (Box& box : sheet.legend) {
    box.top += under;
    box.bottom += under;
  }
  sheet.height = legend.empty() ? under : sheet.legend.back().bottom + 4.0;
  return sheet;
}

void draw_walls(Svg& svg, const RoomSheet& sheet, const Vector3& size_m) {
  const Box& box = sheet.plan.box;
  constexpr int wanted = 6;
  constexpr double apart = 26.0;  // of two numbers: a room as narrow as a shelf has few
  const auto few = [&](double side, double length_m) {
    return ticks(0.0, length_m, std::clamp(static_cast<int>(side / apart), 1, wanted));
  };
  for (const double x_m : few(box.width(), size_m.x)) {
    const double x = sheet.plan.x(x_m);
    svg.line(x, box.bottom, x, box.bottom + 4, "axis");
    svg.text(x, box.bottom + 16, fmt::format("{:.4g}", x_m), "tick", Anchor::middle);
  }
  for (const double y_m : few(box.height(), size_m.y)) {
    const double y = sheet.plan.y(y_m);
    svg.line(box.left - 4, y, box.left, y, "axis");
    svg.text(box.left - 7, y + 4, fmt::format("{:.4g}", y_m), "tick", Anchor::end);
  }
  svg.text((box.left + box.right) / 2, box.bottom + 34, "x, m", "axis-name", Anchor::middle);
  svg.upright_text(box.left - 34, (box.top + box.bottom) / 2, "y, m", "axis-name");
  svg.rect(box.left, box.top, box.width(), box.height(), "walls");
  svg.circle(box.left, box.bottom, 4.0, "corner-mark", "the corner all is measured from");
}

std::vector<Marked> draw_marks(Svg& svg, const FloorPlan& plan, const RoomResult& r) {
  std::vector<Marked> places;
  std::vector<Marked> marked;
  for (std::size_t i = 0; i < r.room.fixtures.size(); ++i) {
    marked.push_back(draw_fixture(svg, plan, r, i));
  }
  for (std::size_t i = 0; i < r.places.size(); ++i) {
    places.push_back(draw_place(svg, plan, r, i));
  }
  places.insert(places.end(), marked.begin(), marked.end());
  return places;
}

void draw_borders(Svg& svg, const FloorPlan& plan, const std::vector<FloorLine>& borders,
                  std::string_view css_class) {
  std::string d;
  for (const FloorLine& line : borders) {
    const auto [x1, y1, x2, y2] = plan.line(line);
    d += path_through({{x1, y1}, {x2, y2}});
  }
  if (!d.empty()) svg.path(d, css_class);
}

void draw_legend(Svg& svg, const RoomSheet& sheet, const std::vector<LegendEntry>& legend) {
  for (std::size_t i = 0; i < legend.size(); ++i) {
    const Box& box = sheet.legend[i];
    svg.rect(box.left, box.top, swatch, swatch, legend[i].first);
    svg.rect(box.left, box.top, swatch, swatch, "swatch-edge");
    svg.text(box.left + swatch + beside_swatch, box.top + swatch - 3.5, legend[i].second, "label");
  }
}

void draw_label(Svg& svg, const Label& label, std::string_view css_class) {
  svg.rect(label.box.left, label.box.top, label.box.width(), label.box.height(), "label-ground", {},
           3.0);
  svg.text((label.box.left + label.box.right) / 2, label.box.bottom - 4.0, label.words, css_class,
           Anchor::middle);
}

Box room_for_labels(const FloorPlan& plan) {
  return {plan.box.left + 2.0, plan.box.top - 4.0, plot_width - 4.0, plan.box.bottom - 2.0};
}

}  // namespace lampbeat::report::plots
