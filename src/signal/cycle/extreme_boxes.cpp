#include "signal/cycle/extreme_boxes.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "signal/cycle/stretch_scatter.hpp"

namespace lampbeat::signal::cycle {
namespace {

/// The grid of the cells moves a box by half a cell: of four cells at a cusp, a sixteenth of what
/// the box is off in any case.
constexpr std::size_t narrowest = 4;
/// Gaps between sampled phases, in a box at least.
constexpr std::size_t gaps_in_box = 4;
/// Places that lie this far, in standard deviations of their noise, below the most extreme one are
/// not the most extreme without one stretch of several.
constexpr double surely_not_sds = 6.0;
/// And of the cycle's swing, for what the phases of one stretch fill unevenly.
constexpr double hardly_less = 1e-3;
/// A box between edges that misses so much of the swing is not between edges: what was taken for
/// them, ripple of another rhythm or a pulse of few cells, holds the extreme.
constexpr double missed_by_edges = 0.25;
/// Of the stretches, at least these must have samples where the others are most extreme.
constexpr double fewest_read = 0.5;
constexpr std::size_t fewest_stretches_read = 3;

/// Of independent readings the squared steps between neighbours sum to twice the squared distances
/// from their mean; of sixteen, to less than six tenths once in 1000 times.
constexpr std::size_t fewest_that_go_one_way = 8;
constexpr double steps_of_going_one_way = 0.6;

/// Two cells on, a parabola must still be right to this share of its bend.
constexpr double follows_parabola = 0.7;
/// Half a cell off another box would be as near; noise moves a vertex a little farther.
constexpr double nearest_other = 0.75;

struct Weighted {
  double mean = 0.0;
  double sum = 0.0;       ///< of the weights
  double variance = 0.0;  ///< of the mean, by the scatter of the values
  double values = 0.0;
};

template <typename Value, typename Weight>
Weighted weighted(std::size_t n, Value value, Weight weight) {
  Weighted w;
  for (std::size_t i = 0; i < n; ++i) {
    w.sum += weight(i);
    w.mean += weight(i) * value(i);
    w.values += weight(i) > 0.0;
  }
  w.mean /= w.sum;
  for (std::size_t i = 0; i < n; ++i) {
    const double off = weight(i) * (value(i) - w.mean);
    w.variance += off * off;
  }
  if (w.values > 1.0) w.variance *= w.values / (w.values - 1.0) / (w.sum * w.sum);
  return w;
}

/// Whether edges leave the extreme to boxes that lie between them.
bool edges_are_edges(const TableViews& views, std::size_t width, double sign) {
  if (!views.edges.leave_room(width)) return false;
  double between = -std::numeric_limits<double>::infinity();
  double anywhere = between;
  for (std::size_t from = 0; from < views.table.cells; ++from) {
    const double mean = sign * views.curve.mean(from, width);
    anywhere = std::max(anywhere, mean);
    if (views.edges.none_in(from, width)) between = std::max(between, mean);
  }
  return anywhere - between < missed_by_edges * (views.curve.highest() - views.curve.lowest());
}

/// Where boxes may lie and could be the most extreme without one of the stretches.
std::vector<std::size_t> places_asked(const TableViews& views, std::size_t width, double sign,
                                      bool between_edges, BoxReading& box) {
  const PhaseTable& table = views.table;
  const bool anywhere = !between_edges || !views.edges.leave_room(width);
  std::vector<std::size_t> places;
  box.highest = -std::numeric_limits<double>::infinity();
  for (std::size_t from = 0; from < table.cells; ++from) {
    if (!anywhere && !views.edges.none_in(from, width)) continue;
    places.push_back(from);
    const double mean = sign * views.curve.mean(from, width);
    if (mean <= box.highest) continue;
    box.highest = mean;
    box.place = from;
  }
  const double samples =
      table.samples * static_cast<double>(width) / static_cast<double>(table.cells);
  const double least = box.highest - surely_not_sds * table.noise_sd / std::sqrt(samples) -
                       hardly_less * (views.curve.highest() - views.curve.lowest());
  std::erase_if(places,
                [&](std::size_t from) { return sign * views.curve.mean(from, width) < least; });
  return places;
}

/// What the stretch alone adds to the others' mean over the box.
void read_stretch(const TableViews& views, std::size_t stretch, std::size_t from, double sign,
                  BoxReading& box) {
  const CellCurve& others = views.others[stretch];
  const auto cells = static_cast<double>(views.table.cells);
  double count = 0.0;
  double beyond = 0.0;
  for (std::size_t i = from; i < from + box.width; ++i) {
    const std::size_t c = i % views.table.cells;
    const double n = views.table.count_in(stretch, c);
    count += n;
    beyond += views.table.value_in(stretch, c) - n * others.at(static_cast<std::ptrdiff_t>(c)) -
              views.slopes.slope_within(c) * views.table.offset_in(stretch, c) / cells;
  }
  if (!(count > 0.0)) return;
  box.of_stretch[stretch] = sign * (others.mean(from, box.width) + beyond / count);
  box.weight[stretch] = count;
}

/// How far the readings moved where they go one way: a light that was another at the end than at
/// the beginning may go on. 0 where neighbouring stretches differ as much as any two (von Neumann,
/// Ann. Math. Stat. 12(4), 1941).
double moved_by(const BoxReading& box) {
  std::vector<double> read;
  for (std::size_t s = 0; s < box.of_stretch.size(); ++s) {
    if (box.weight[s] > 0.0) read.push_back(box.of_stretch[s]);
  }
  if (read.size() < fewest_that_go_one_way) return 0.0;
  double mean = 0.0;
  for (const double x : read) mean += x / static_cast<double>(read.size());
  double steps = 0.0;
  double squares = 0.0;
  for (std::size_t i = 0; i < read.size(); ++i) {
    squares += (read[i] - mean) * (read[i] - mean);
    if (i > 0) steps += (read[i] - read[i - 1]) * (read[i] - read[i - 1]);
  }
  if (steps >= steps_of_going_one_way * squares) return 0.0;
  const auto [least, most] = std::minmax_element(read.begin(), read.end());
  return *most - *least;
}

/// Of boxes one cell apart the vertex of a parabola: exact at a cusp and on a round crest; 0 beside
/// an edge, which no parabola follows.
double between_cells(const TableViews& views, const BoxReading& box, double sign) {
  const std::size_t cells = views.table.cells;
  const auto at = [&](std::size_t by) {  // counted from two cells before
    return sign * views.curve.mean((box.place + cells + by - 2) % cells, box.width);
  };
  const double bend = at(1) - 2.0 * at(2) + at(3);
  if (!(bend < 0.0)) return 0.0;
  const double off = (at(1) - at(3)) / (2.0 * bend);
  const double gain = -bend * off * off / 2.0;
  const auto parabola = [&](double by) {
    return at(2) + gain + bend * (by - off) * (by - off) / 2.0;
  };
  const double misfit = std::max(std::abs(at(0) - parabola(-2.0)), std::abs(at(4) - parabola(2.0)));
  return std::abs(off) < nearest_other && misfit < follows_parabola * -bend ? gain : 0.0;
}

std::optional<BoxReading> read_box(const TableViews& views, std::size_t width, double sign,
                                   bool between_edges) {
  const PhaseTable& table = views.table;
  BoxReading box;
  box.width = width;
  box.of_stretch.resize(table.stretches);
  box.weight.resize(table.stretches);
  const std::vector<std::size_t> places = places_asked(views, width, sign, between_edges, box);
  const auto first = static_cast<std::ptrdiff_t>(box.place);
  box.beside_edge =
      views.edges.at(first - 1) || views.edges.at(first + static_cast<std::ptrdiff_t>(width));
  for (std::size_t s = 0; s < table.stretches; ++s) {
    const CellCurve& others = views.others[s];
    const std::size_t from =
        *std::max_element(places.begin(), places.end(), [&](std::size_t a, std::size_t b) {
          return sign * others.mean(a, width) < sign * others.mean(b, width);
        });
    read_stretch(views, s, from, sign, box);
  }
  const Weighted read = weighted(
      table.stretches, [&](std::size_t s) { return box.of_stretch[s]; },
      [&](std::size_t s) { return box.weight[s]; });
  if (read.values < static_cast<double>(fewest_stretches_read) ||
      read.values < fewest_read * static_cast<double>(table.stretches)) {
    return std::nullopt;
  }
  box.value = read.mean;
  box.highest = std::max(box.highest, box.value);
  const double model = table.noise_sd * table.noise_sd / read.sum;
  box.sd = sd_of_stretches(read.variance, model, read.values);
  box.sd = std::hypot(box.sd, moved_by(box));
  box.between = between_cells(views, box, sign);
  return box;
}

void compare(BoxReading& box, const BoxReading& wider, double noise_sd) {
  const Weighted fall = weighted(
      box.of_stretch.size(), [&](std::size_t s) { return box.of_stretch[s] - wider.of_stretch[s]; },
      [&](std::size_t s) { return wider.weight[s] > 0.0 ? box.weight[s] : 0.0; });
  box.fall =
      fall.mean + box.between - wider.between + lift_given_back * (box.lift() - wider.lift());
  if (!(fall.sum > 0.0)) {
    box.fall = 0.0;
    box.fall_sd = std::numeric_limits<double>::infinity();
    return;
  }
  // Half of the wider box's samples are the narrower one's.
  const double model = noise_sd * noise_sd / fall.sum / 2.0;
  box.fall_sd = std::sqrt(std::max(model, fall.variance));
}

}  // namespace

TableViews::TableViews(const PhaseTable& folded, const PhaseCurve& of_all,
                       const std::vector<CellCurve>& left_out)
    : table(folded), slopes(of_all), curve(of_all), others(left_out), edges(folded, curve) {}

std::vector<BoxReading> extreme_boxes(const TableViews& views, std::size_t widest_empty,
                                      double sign) {
  const std::size_t cells = views.table.cells;
  std::size_t width = narrowest;
  while (width < gaps_in_box * widest_empty) width *= 2;
  const bool between_edges = edges_are_edges(views, width, sign);
  std::vector<BoxReading> boxes;
  for (; width <= cells / 2; width *= 2) {
    if (auto box = read_box(views, width, sign, between_edges)) boxes.push_back(std::move(*box));
  }
  for (std::size_t i = 0; i + 1 < boxes.size(); ++i) {
    compare(boxes[i], boxes[i + 1], views.table.noise_sd);
  }
  return boxes;
}

}  // namespace lampbeat::signal::cycle
