#include "lampbeat/wall_card.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <string_view>
#include <utility>

#include "lampbeat/visibility.hpp"
#include "reasoning/shutters/habits.hpp"
#include "reasoning/shutters/spoiler.hpp"
#include "words/columns.hpp"
#include "words/lists.hpp"
#include "words/numbers.hpp"

namespace lampbeat {

namespace {

/// More columns than this, or names of more letters in all, leave no room for letters that can be
/// read from two metres.
constexpr std::size_t most_columns = 8;
constexpr int most_letters = 44;
/// Fewer columns leave the card empty: then what is not clean fills it.
constexpr std::size_t few_columns = 4;
/// Half the smallest step between two neighbours of any dial (1/48 and 1/50).
constexpr double same_to_the_hand = 0.02;
constexpr double no_limit_hz = std::numeric_limits<double>::infinity();

using Cells = std::vector<std::optional<std::size_t>>;

/// Shutters of one name, or of one exposure, over all frame rates.
struct Column {
  std::string label;
  double exposure_s = 0.0;  ///< the longest, of an angle
  bool varies = false;      ///< an angle, another exposure at each frame rate
  Cells cells;
};

bool clean_at(const ShutterPlan& plan, const std::optional<std::size_t>& cell) {
  return cell && is_clean(plan.settings[*cell].worst);
}

bool an_angle(std::string_view label) { return label.find("°") != std::string_view::npos; }

bool alike(double a_s, double b_s) { return std::abs(a_s / b_s - 1.0) < same_to_the_hand; }

/// What decides which columns get a place.
struct Worth {
  std::size_t clean_rows = 0;
  std::size_t borderline_rows = 0;
  std::size_t rows = 0;
  bool by_habit = false;
  bool off_the_dial = false;  ///< "1/60.2": of no use to most cameras
  double least_margin_hz = no_limit_hz;
};

Worth worth_of(const Column& column, const ShutterPlan& plan) {
  Worth worth;
  // Where these are not clean, the card should say so before rarer ones.
  worth.by_habit = reasoning::shutters::set_by_habit(column.label);
  worth.off_the_dial = column.label.find('.') != std::string::npos;
  for (const auto& cell : column.cells) {
    if (!cell) continue;
    const Setting& s = plan.settings[*cell];
    ++worth.rows;
    if (s.worst.verdict == Verdict::borderline) ++worth.borderline_rows;
    if (!is_clean(s.worst)) continue;
    ++worth.clean_rows;
    worth.least_margin_hz =
        std::min(worth.least_margin_hz, s.mains_margin_hz.value_or(no_limit_hz));
  }
  return worth;
}

bool worth_more(const Worth& a, const Worth& b) {
  if (a.clean_rows != b.clean_rows) return a.clean_rows > b.clean_rows;
  if (a.by_habit != b.by_habit) return a.by_habit;
  if (a.clean_rows == 0 && a.borderline_rows != b.borderline_rows) {
    return a.borderline_rows > b.borderline_rows;
  }
  if (a.off_the_dial != b.off_the_dial) return b.off_the_dial;
  if (a.least_margin_hz != b.least_margin_hz) return a.least_margin_hz > b.least_margin_hz;
  return a.rows > b.rows;
}

void sort_by_worth(std::vector<Column>& columns, const ShutterPlan& plan) {
  std::vector<std::pair<Worth, std::size_t>> order;
  for (const Column& column : columns) order.emplace_back(worth_of(column, plan), order.size());
  std::stable_sort(order.begin(), order.end(),
                   [](const auto& a, const auto& b) { return worth_more(a.first, b.first); });
  std::vector<Column> sorted;
  for (const auto& [worth, at] : order) sorted.push_back(std::move(columns[at]));
  columns = std::move(sorted);
}

std::vector<FrameRate> rates_of(const ShutterPlan& plan) {
  std::vector<FrameRate> rates;
  const auto add = [&](FrameRate fps) {
    if (std::find(rates.begin(), rates.end(), fps) == rates.end()) rates.push_back(fps);
  };
  for (const FrameRateOutlook& outlook : plan.outlooks) add(outlook.fps);
  for (const Setting& s : plan.settings) add(s.fps);
  return rates;
}

/// One column for every name.
std::vector<Column> every_column(const ShutterPlan& plan, const std::vector<FrameRate>& rates) {
  std::vector<Column> columns;
  std::map<std::string_view, std::size_t> column_of;  // a range of a fine dial has thousands
  for (std::size_t i = 0; i < plan.settings.size(); ++i) {
    const Setting& s = plan.settings[i];
    const auto [found, is_new] = column_of.emplace(s.label, columns.size());
    if (is_new) columns.push_back({s.label, s.exposure_s, false, Cells(rates.size())});
    Column& column = columns[found->second];
    column.varies = column.varies || !alike(column.exposure_s, s.exposure_s);
    column.exposure_s = std::max(column.exposure_s, s.exposure_s);
    const auto row = std::find(rates.begin(), rates.end(), s.fps) - rates.begin();
    column.cells[static_cast<std::size_t>(row)] = i;
  }
  return columns;
}

/// Takes the cells that are the same to the hand out of one column into a better one, where that
/// has none or a worse one.
void fold_into(Column& kept, Column& other, const ShutterPlan& plan) {
  for (std::size_t row = 0; row < kept.cells.size(); ++row) {
    if (!other.cells[row] || !alike(plan.settings[*other.cells[row]].exposure_s, kept.exposure_s)) {
      continue;
    }
    const bool better = clean_at(plan, other.cells[row]) && !clean_at(plan, kept.cells[row]);
    if (!kept.cells[row] || better) kept.cells[row] = other.cells[row];
    other.cells[row].reset();
  }
}

bool empty(const Column& column) {
  return std::none_of(column.cells.begin(), column.cells.end(),
                      [](const auto& cell) { return cell.has_value(); });
}

/// The columns with what is near-equal folded, the most worthy first. A dial of nothing but angles
/// keeps its own names for columns.
std::vector<Column> folded(std::vector<Column> columns, const ShutterPlan& plan) {
  const bool angles_only = std::all_of(columns.begin(), columns.end(),
                                       [](const Column& c) { return an_angle(c.label); });
  sort_by_worth(columns, plan);
  // One exposure before another at each frame rate: what varies has no exposure to fold into.
  std::stable_partition(columns.begin(), columns.end(), [](const Column& c) { return !c.varies; });
  std::vector<Column> kept;
  for (Column& column : columns) {
    for (Column& better : kept) {
      if (!better.varies && !angles_only) fold_into(better, column, plan);
    }
    if (!empty(column)) kept.push_back(column);
  }
  sort_by_worth(kept, plan);
  return kept;
}

/// As wide as the longest of its names.
int letters_of(const Column& column, const ShutterPlan& plan) {
  int letters = words::columns(column.label);
  for (const auto& cell : column.cells) {
    if (cell) letters = std::max(letters, words::columns(plan.settings[*cell].label));
  }
  return letters;
}

/// Those worth their room, as on a dial.
std::vector<Column> chosen_columns(const std::vector<Column>& every, const ShutterPlan& plan) {
  std::vector<Column> chosen;
  int letters = 0;
  for (const Column& column : every) {
    const Worth worth = worth_of(column, plan);
    const bool deserves = worth.clean_rows > 0 || worth.by_habit || chosen.size() < few_columns;
    const int its_letters = letters_of(column, plan);
    const bool fits = chosen.size() < most_columns && letters + its_letters <= most_letters;
    if (!deserves || (!fits && !chosen.empty())) continue;
    letters += its_letters;
    chosen.push_back(column);
  }
  std::stable_sort(chosen.begin(), chosen.end(),
                   [](const Column& a, const Column& b) { return a.exposure_s > b.exposure_s; });
  return chosen;
}

/// An exposure that has several names goes by none of them that is an angle at one frame rate.
std::string heading_of(const Column& column, const std::vector<FrameRate>& rates) {
  const bool of_one_rate = an_angle(column.label) && !column.varies && rates.size() > 1;
  return of_one_rate ? exposure_label(column.exposure_s) : column.label;
}

/// What is said of slow motion, once for all frame rates it is true of.
Findings findings_of(const ShutterPlan& plan, const std::vector<FrameRate>& rates) {
  constexpr std::string_view slow = "judged_as_slow_motion";
  Findings findings;
  std::vector<std::string> slowed;
  double most = 1.0;
  for (const FrameRate fps : rates) {
    const double slowness = slowing(fps.per_s(), plan.options.viewing);
    if (slowness >= 1.0) continue;
    slowed.push_back(frame_rate_label(fps));
    most = std::max(most, 1.0 / slowness);
  }
  for (const Finding& f : plan.findings) {
    if (f.code != slow || slowed.size() < 2) {
      findings.push_back(f);
    } else if (std::none_of(findings.begin(), findings.end(),
                            [&](const Finding& known) { return known.code == slow; })) {
      findings.push_back(
          {f.code, fmt::format("{} frames per second are judged as slow motion, where the flicker "
                               "runs up to {} times slower than in the room.",
                               words::listed(slowed), words::in_digits_at_most(most, 3))});
    }
  }
  return findings;
}

void add_once(std::vector<std::string>& names, const std::string& name) {
  if (std::find(names.begin(), names.end(), name) == names.end()) names.push_back(name);
}

}  // namespace

WallCard wall_card(const ShutterPlan& plan) {
  WallCard card;
  card.frame_rates = rates_of(plan);
  const std::vector<Column> names = every_column(plan, card.frame_rates);
  const std::vector<Column> every = folded(names, plan);
  card.all_clean = true;
  for (const Column& column : chosen_columns(every, plan)) {
    card.shutters.push_back({heading_of(column, card.frame_rates), column.cells});
    for (const auto& cell : column.cells) {
      card.all_clean = card.all_clean && (!cell || clean_at(plan, cell));
    }
  }
  card.left_out = every.size() - card.shutters.size();
  for (std::size_t row = 0; row < card.frame_rates.size(); ++row) {
    const bool any = std::any_of(plan.settings.begin(), plan.settings.end(), [&](const Setting& s) {
      return s.fps == card.frame_rates[row] && is_clean(s.worst);
    });
    if (!any) card.hopeless.push_back(card.frame_rates[row]);
  }
  const std::size_t hopeful = card.frame_rates.size() - card.hopeless.size();
  std::size_t most_borderline = 1;
  for (const Column& column : every) {
    const Worth worth = worth_of(column, plan);
    if (hopeful > 0 && worth.clean_rows == hopeful) {
      add_once(card.serving, heading_of(column, card.frame_rates));
    }
    if (hopeful == 0 && !worth.off_the_dial && worth.borderline_rows >= most_borderline) {
      if (worth.borderline_rows > most_borderline) card.borderline_at_best.clear();
      most_borderline = worth.borderline_rows;
      add_once(card.borderline_at_best, heading_of(column, card.frame_rates));
    }
  }
  if (auto spoiler = reasoning::shutters::spoiler_of(plan)) {
    card.spoiler = {std::move(spoiler->name), std::move(spoiler->serving)};
  }
  card.findings = findings_of(plan, card.frame_rates);
  return card;
}

}  // namespace lampbeat
