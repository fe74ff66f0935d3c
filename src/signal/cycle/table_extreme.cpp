#include "signal/cycle/table_extreme.hpp"

#include <algorithm>
#include <cmath>

#include "signal/cycle/stretch_scatter.hpp"
#include "signal/cycle/width_error.hpp"

namespace lampbeat::signal::cycle {
namespace {

/// An edge falls by this many cells' worth of the gentler slope.
constexpr double edge_in_slopes = 8.0;
/// Growth of the error that is still a slope's and not a crest's.
constexpr double slope_power = 1.7;
/// Where within a cell an edge lies is told by the mixture in it, to this much of the cell.
constexpr double mixture_sd = 0.15;
/// Wider than this share of the cycle no edge is smeared.
constexpr std::size_t widest_edge = 8;
/// What a parabola through three phases, two of them alike, rises between those: an eighth of the
/// fall to the third; twice that for sharper crests.
constexpr double crest_between = 0.25;
/// How far between two phases the tip lies, which moves a chord's loss by half of itself.
constexpr double chord_sd = 0.5;
/// The lift's uncertainty beside `lift_given_back`: all or nothing of it may be the light's.
constexpr double lift_share_sd = 0.35;

/// Cells between neighbouring cells with samples.
std::size_t widest_empty(const PhaseTable& table) {
  std::size_t widest = 1;
  std::size_t since = 0;
  for (std::size_t i = 0; i < 2 * table.cells; ++i) {
    ++since;
    if (table.total[i % table.cells].count == 0.0) continue;
    if (i >= table.cells) widest = std::max(widest, since);
    since = 0;
  }
  return widest;
}

/// A stretch of the cycle beside a box, cells.
struct Beside {
  double fall = 0.0;     ///< over the edge
  double skipped = 0.0;  ///< cells with an edge between the box and what lies beyond
  double mixture = 0.0;  ///< of the box's level in the cell next to it, 0 to 1
};

Beside beside(const TableViews& views, const BoxReading& box, std::size_t empty, double sign,
              int side) {
  const auto first = static_cast<std::ptrdiff_t>(box.place);
  const auto last = first + static_cast<std::ptrdiff_t>(box.width) - 1;
  const std::ptrdiff_t inside = side < 0 ? first : last;
  const auto most = static_cast<std::ptrdiff_t>(views.table.cells / widest_edge);
  std::ptrdiff_t edge = 0;
  while (edge < most && views.edges.at(inside + side * (edge + 1))) ++edge;
  const std::ptrdiff_t beyond =
      inside + side * (1 + std::max(edge, static_cast<std::ptrdiff_t>(empty)));
  const double in = sign * views.curve.at(inside);
  const double out = sign * views.curve.at(beyond);
  Beside b{in - out, static_cast<double>(edge), 0.0};
  if (in > out) {
    b.mixture = std::clamp((sign * views.curve.at(inside + side) - out) / (in - out), 0.0, 1.0);
  }
  return b;
}

/// What a slope gains between a box and the edge it ends at.
struct ToTheEdge {
  double cells = 0.0;
  double sd = 0.0;
};

ToTheEdge to_the_edge(const TableViews& views, const BoxReading& box, const WidthError& error,
                      double slope, std::size_t empty, double sign) {
  if (!(error.power > 0.0) || error.power > slope_power) return {};
  const Beside before = beside(views, box, empty, sign, -1);
  const Beside after = beside(views, box, empty, sign, +1);
  const Beside& steep = before.fall > after.fall ? before : after;
  if (steep.fall <= edge_in_slopes * slope * static_cast<double>(1 + empty)) return {};
  const double phases =
      anywhere_sd * views.table.phase_gap * static_cast<double>(views.table.cells);
  if (steep.skipped > 1.0) return {steep.skipped / 2.0, 1.2 * anywhere_sd * steep.skipped};
  if (empty > 1)
    return {static_cast<double>(empty) / 2.0, anywhere_sd * static_cast<double>(empty)};
  return {steep.mixture, std::max(mixture_sd, phases)};
}

/// The most extreme phase of few, read by each stretch where the others have it.
std::optional<TableReading> phase_extreme(const TableViews& views, double sign) {
  const PhaseTable& table = views.table;
  double sum = 0.0;
  double squares = 0.0;
  double count = 0.0;
  double stretches = 0.0;
  std::size_t extreme = table.cells;
  for (std::size_t s = 0; s < table.stretches; ++s) {
    std::size_t most = table.cells;
    for (std::size_t c = 0; c < table.cells; ++c) {
      if (table.count_in(s, c) == 0.0 || table.total[c].count == table.count_in(s, c)) continue;
      const auto at = static_cast<std::ptrdiff_t>(c);
      const CellCurve& others = views.others[s];
      if (most == table.cells ||
          sign * others.at(at) > sign * others.at(static_cast<std::ptrdiff_t>(most))) {
        most = c;
      }
    }
    if (most == table.cells) continue;
    const double n = table.count_in(s, most);
    const double value = sign * table.value_in(s, most) / n;
    sum += n * value;
    squares += n * value * value;
    count += n;
    stretches += 1.0;
    extreme = most;
  }
  if (extreme == table.cells || stretches < 2.0) return std::nullopt;
  TableReading reading;
  const double mean = sum / count;
  const double scatter = std::max(0.0, squares - count * mean * mean) / (stretches - 1.0) / count;
  reading.value = sign * mean;
  reading.sd = std::sqrt(std::max(scatter, table.noise_sd * table.noise_sd / count));
  const auto cells = static_cast<double>(table.cells);
  double fall[2] = {};
  for (const int side : {-1, +1}) {
    // The next phase, not another cell of the same one.
    const auto apart = static_cast<std::ptrdiff_t>(table.phase_gap * cells / 2.0) + 1;
    auto next = static_cast<std::ptrdiff_t>(extreme) + side * apart;
    const auto n = static_cast<std::ptrdiff_t>(table.cells);
    while (table.total[static_cast<std::size_t>((next + 2 * n) % n)].count == 0.0) next += side;
    fall[side > 0] = std::max(0.0, mean - sign * views.curve.at(next));
  }
  // A slope goes on to its edge; two that are alike have a crest between them.
  reading.bound = std::max(std::min(fall[0], fall[1]), crest_between * std::max(fall[0], fall[1]));
  return reading;
}

}  // namespace

bool of_one_thing(const TableReading& one, const TableReading& other, double sds) {
  return std::abs(one.value - other.value) <
         sds * std::hypot(one.uncertainty(), other.uncertainty());
}

double TableReading::uncertainty() const { return std::hypot(sd, bound); }

std::optional<TableReading> box_extreme(const TableViews& views, double sign) {
  const std::size_t empty = widest_empty(views.table);
  const std::vector<BoxReading> boxes = extreme_boxes(views, empty, sign);
  const std::vector<WidthError> errors = width_errors(boxes, views.table.cells);
  if (errors.empty()) return phase_extreme(views, sign);
  std::optional<TableReading> best;
  TableReading reached{boxes.front().value, boxes.front().sd, 0.0};
  for (std::size_t i = 0; i < errors.size(); ++i) {
    const BoxReading& box = boxes[i];
    // Of a box against a slope on one side: it reads the slope's middle.
    const double slope = 2.0 * errors[i].value / static_cast<double>(box.width);
    const ToTheEdge rest = to_the_edge(views, box, errors[i], slope, empty, sign);
    TableReading reading;
    // Between two phases the curve is a chord, which a cusp or a crest stands out of.
    const double gaps = views.table.phase_gap * static_cast<double>(views.table.cells) /
                        static_cast<double>(box.width);
    const double chord = errors[i].value * gaps * gaps;
    reading.value = box.value + box.between + errors[i].value + chord +
                    lift_given_back * box.lift() + slope * rest.cells;
    reading.sd = box.sd;
    reading.bound = std::hypot(std::hypot(errors[i].sd, chord_sd * chord),
                               lift_share_sd * box.lift(), slope * rest.sd);
    // A wider box that says otherwise is of something else: a pulse's surroundings.
    if (best && !of_one_thing(reading, *best)) break;
    // Nor is one of the same thing that says the light never reaches what a narrower box reads.
    if (reached.value - reading.value > same_sds * std::hypot(reached.sd, reading.uncertainty())) {
      break;
    }
    if (box.value > reached.value) reached = {box.value, box.sd, 0.0};
    if (!best || reading.uncertainty() < best->uncertainty()) best = reading;
  }
  if (best) best->value *= sign;
  // Boxes average out ripple that is faster than they are wide. What a phase reads the light does
  // reach, whatever it may reach beside it.
  const std::optional<TableReading> phase = phase_extreme(views, sign);
  if (!phase) return best;
  const bool surely_beyond = best && sign * (phase->value - best->value) >
                                         beyond_chance_sds * std::hypot(phase->sd, best->sd);
  if (best && !surely_beyond) return best;
  return phase;
}

}  // namespace lampbeat::signal::cycle
