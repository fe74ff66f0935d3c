#include <fmt/format.h>

#include <algorithm>
#include <vector>

#include "report/plots/frame.hpp"
#include "report/plots/plots.hpp"
#include "words/units.hpp"

namespace lampbeat::report::plots {

namespace {

// Drawing units: a mark with its hover room; left of the axis the frame rates.
constexpr double row_height = 30.0;
constexpr double left = 62.0;
constexpr double right = plot_width - 14.0;

void mark(Svg& svg, double x, double y, Verdict verdict, const std::string& hover) {
  switch (verdict) {
    case Verdict::clean:
      svg.circle(x, y, 6.0, "mark-clean", hover);
      break;
    case Verdict::borderline:
      svg.circle(x, y, 5.5, "mark-open", hover);
      svg.path(fmt::format("M{:.2f} {:.2f}a5.5 5.5 0 0 1 0 11Z", x, y - 5.5), "mark-clean", hover);
      break;
    case Verdict::visible:
      svg.circle(x, y, 4.5, "mark-open", hover);
      break;
    case Verdict::strong:
      svg.path(fmt::format("M{:.2f} {:.2f}l8 8m0 -8l-8 8", x - 4, y - 4), "mark-cross", hover);
      break;
  }
}

std::string hover_words(const Setting& s) {
  return fmt::format("{} frames per second, {}: {}; {} {} at worst, {} from 180°",
                     frame_rate_label(s.fps), s.label, verdict_word(s.worst.verdict),
                     words::percent(shown_percent(s.worst)), shown_word(s.worst),
                     words::stops(s.stops_from_180deg));
}

/// A dense sweep as a ribbon per frame rate: tall where clean, thin where the bands are strong.
void draw_field(Svg& svg, const std::vector<const Setting*>& sweep, const Axis& x, double y) {
  for (std::size_t i = 0; i < sweep.size(); ++i) {
    const double from = i == 0 ? x.at(sweep[i]->exposure_s)
                               : (x.at(sweep[i - 1]->exposure_s) + x.at(sweep[i]->exposure_s)) / 2;
    const double to = i + 1 == sweep.size()
                          ? x.at(sweep[i]->exposure_s)
                          : (x.at(sweep[i]->exposure_s) + x.at(sweep[i + 1]->exposure_s)) / 2;
    constexpr double heights[] = {22.0, 14.0, 6.0, 2.0};
    constexpr const char* classes[] = {"field-clean", "field-borderline", "field-visible",
                                       "field-strong"};
    const auto grade = static_cast<std::size_t>(sweep[i]->worst.verdict);
    svg.rect(from, y - heights[grade] / 2, std::max(to - from, 0.3), heights[grade],
             classes[grade]);
  }
}

struct Row {
  FrameRate fps;
  std::vector<const Setting*> settings;  ///< shortest exposure first
};

/// Slowest first.
std::vector<Row> by_frame_rate(const ShutterPlan& plan) {
  std::vector<Row> rows;
  for (const Setting& s : plan.settings) {
    auto row = std::find_if(rows.begin(), rows.end(), [&](const Row& r) { return r.fps == s.fps; });
    if (row == rows.end()) row = rows.insert(rows.end(), {s.fps, {}});
    row->settings.push_back(&s);
  }
  for (Row& row : rows) {
    std::sort(row.settings.begin(), row.settings.end(),
              [](const Setting* a, const Setting* b) { return a->exposure_s < b->exposure_s; });
  }
  std::sort(rows.begin(), rows.end(),
            [](const Row& a, const Row& b) { return a.fps.per_s() < b.fps.per_s(); });
  return rows;
}

}  // namespace

std::string shutter_map_svg(const ShutterPlan& plan, const ShutterPlan* field) {
  const auto rows = by_frame_rate(plan);
  if (rows.empty()) return {};
  double shortest = 1.0;
  double longest = 0.0;
  int clean = 0;
  for (const Setting& s : plan.settings) {
    shortest = std::min(shortest, s.exposure_s);
    longest = std::max(longest, s.exposure_s);
    clean += is_clean(s.worst) ? 1 : 0;
  }
  if (field) {
    for (const Setting& s : field->settings) {
      shortest = std::min(shortest, s.exposure_s);
      longest = std::max(longest, s.exposure_s);
    }
  }
  const double bottom = 16.0 + row_height * static_cast<double>(rows.size());
  const Axis x{shortest / 1.15, longest * 1.15, left, right, true};
  Svg svg("shutter-map", plot_width, bottom + 44.0, "Which shutter is clean at which frame rate",
          fmt::format("Frame rates down, exposure times across. {} of {} offered settings are "
                      "clean; the table of settings lists them.",
                      clean, plan.settings.size()));

  double last_tick = -100.0;
  for (const double parts : {8000.0, 4000.0, 2000.0, 1000.0, 500.0, 250.0, 120.0, 60.0, 30.0, 15.0,
                             8.0, 4.0, 2.0, 1.0}) {
    const double exposure_s = 1.0 / parts;
    if (exposure_s < x.low || exposure_s > x.high || x.at(exposure_s) - last_tick < 38) continue;
    last_tick = x.at(exposure_s);
    svg.line(last_tick, 8, last_tick, bottom, "grid");
    svg.text(last_tick, bottom + 16, fmt::format("1/{:.0f}", parts), "tick", Anchor::middle);
  }
  svg.text((left + right) / 2, bottom + 35, "exposure, s", "axis-name", Anchor::middle);
  svg.upright_text(13, (8 + bottom) / 2, "frames per second", "axis-name");

  std::vector<Row> sweeps;
  if (field) sweeps = by_frame_rate(*field);
  double y = 8.0 + row_height / 2;
  for (const auto& [fps, settings] : rows) {
    svg.text(left - 8, y + 4, frame_rate_label(fps), "row-name", Anchor::end);
    svg.line(left, y, right, y, "grid");
    for (const Row& sweep : sweeps) {
      if (sweep.fps == fps) draw_field(svg, sweep.settings, x, y);
    }
    const double half_frame_s = 0.5 / fps.per_s();
    if (half_frame_s > x.low && half_frame_s < x.high) {
      svg.line(x.at(half_frame_s), y - 12, x.at(half_frame_s), y + 12, "angle-mark",
               fmt::format("180° at {} frames per second", frame_rate_label(fps)));
    }
    for (const Setting* s : settings) {
      mark(svg, x.at(s->exposure_s), y, s->worst.verdict, hover_words(*s));
    }
    y += row_height;
  }
  return svg.finish();
}

}  // namespace lampbeat::report::plots
