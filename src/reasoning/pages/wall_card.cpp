#include "lampbeat/wall_card.hpp"

#include <algorithm>
#include <array>
#include <limits>
#include <string_view>

namespace lampbeat {

namespace {

/// More columns than this leave no room for letters that can be read from two metres.
constexpr std::size_t most_columns = 8;
constexpr double no_limit_hz = std::numeric_limits<double>::infinity();

/// One shutter of the camera, over all frame rates.
struct Column {
  std::string label;
  double exposure_s = 0.0;
  std::size_t rows = 0;
  std::size_t clean_rows = 0;
  double least_margin_hz = no_limit_hz;
};

std::vector<Column> every_column(const ShutterPlan& plan) {
  std::vector<Column> columns;
  for (const Setting& s : plan.settings) {
    auto found = std::find_if(columns.begin(), columns.end(),
                              [&](const Column& c) { return c.label == s.label; });
    if (found == columns.end()) found = columns.insert(columns.end(), Column{s.label});
    found->exposure_s = std::max(found->exposure_s, s.exposure_s);
    ++found->rows;
    if (!is_clean(s.worst)) continue;
    ++found->clean_rows;
    found->least_margin_hz =
        std::min(found->least_margin_hz, s.mains_margin_hz.value_or(no_limit_hz));
  }
  return columns;
}

/// The shutters people set without thinking (common practice, no source): where they are not clean,
/// the card should say so before rarer ones.
bool set_by_habit(const Column& column) {
  constexpr std::array<std::string_view, 6> habits = {"1/48",  "1/50",  "1/60",
                                                      "1/100", "1/120", "1/125"};
  return std::find(habits.begin(), habits.end(), column.label) != habits.end();
}

bool worth_more(const Column& a, const Column& b) {
  if (a.clean_rows != b.clean_rows) return a.clean_rows > b.clean_rows;
  if (set_by_habit(a) != set_by_habit(b)) return set_by_habit(a);
  if (a.least_margin_hz != b.least_margin_hz) return a.least_margin_hz > b.least_margin_hz;
  return a.rows > b.rows;
}

/// The columns worth their room, as on a dial.
std::vector<Column> chosen_columns(std::vector<Column> columns) {
  std::stable_sort(columns.begin(), columns.end(), worth_more);
  if (columns.size() > most_columns) columns.resize(most_columns);
  std::stable_sort(columns.begin(), columns.end(),
                   [](const Column& a, const Column& b) { return a.exposure_s > b.exposure_s; });
  return columns;
}

std::vector<FrameRate> frame_rates(const ShutterPlan& plan) {
  std::vector<FrameRate> rates;
  const auto add = [&](FrameRate fps) {
    if (std::find(rates.begin(), rates.end(), fps) == rates.end()) rates.push_back(fps);
  };
  for (const FrameRateOutlook& outlook : plan.outlooks) add(outlook.fps);
  for (const Setting& s : plan.settings) add(s.fps);
  return rates;
}

}  // namespace

WallCard wall_card(const ShutterPlan& plan) {
  WallCard card;
  card.frame_rates = frame_rates(plan);
  const std::vector<Column> every = every_column(plan);
  const std::vector<Column> columns = chosen_columns(every);
  card.left_out = every.size() - columns.size();
  card.all_clean = true;
  for (const Column& column : columns) {
    card.shutters.push_back(column.label);
    card.all_clean = card.all_clean && column.clean_rows == column.rows;
    if (column.clean_rows == card.frame_rates.size()) {
      card.clean_everywhere.push_back(column.label);
    }
  }
  for (const FrameRate fps : card.frame_rates) {
    const bool any = std::any_of(plan.settings.begin(), plan.settings.end(), [&](const Setting& s) {
      return s.fps == fps && is_clean(s.worst);
    });
    if (!any) card.hopeless.push_back(fps);
  }
  return card;
}

const Setting* setting_at(const ShutterPlan& plan, FrameRate fps, const std::string& label) {
  const auto found =
      std::find_if(plan.settings.begin(), plan.settings.end(),
                   [&](const Setting& s) { return s.fps == fps && s.label == label; });
  return found == plan.settings.end() ? nullptr : &*found;
}

}  // namespace lampbeat
