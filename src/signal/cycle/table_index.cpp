#include "signal/cycle/table_index.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "signal/cycle/converter_step.hpp"
#include "signal/cycle/stretch_scatter.hpp"

namespace lampbeat::signal::cycle {
namespace {

/// With fewer of the cells filled, each one stands for what lies half-way to its neighbours.
constexpr double nearly_all = 0.9;
/// Standard deviations of a cell's scatter that noise alone passes once in 300 million, and of a
/// cell's mean that show on which side of the cycle's mean it lies.
constexpr double jumps_sds = 6.0;
constexpr double side_sds = 4.0;
/// Nearer to the mean, its neighbourhood tells the side: this share of the cycle to either hand.
constexpr std::size_t neighbourhood = 64;
/// Standard deviation of a place anywhere in a gap, 1/√12 of it, and of gaps up to the widest: two
/// thirds of that.
constexpr double usual_gap_sd = 0.2;
/// A step between neighbours of this share of the range is an edge, noise left out so many times.
constexpr double index_edge_share = 0.02;
constexpr double noise_left_out_sds = 4.0;

/// A filled cell of a table.
struct Filled {
  std::size_t cell = 0;
  double place = 0.0;  ///< where its samples lie on average, cells
  double share = 0.0;  ///< of the cycle that it stands for
  double value = 0.0;  ///< less the table's middle
  bool jumps = false;
  double side = 0.0;      ///< of the mean, +1 or −1
  double distance = 0.0;  ///< from the mean
};

std::vector<Filled> filled_cells(const PhaseTable& table) {
  std::vector<Filled> filled;
  for (std::size_t c = 0; c < table.cells; ++c) {
    const CellTotals& total = table.total[c];
    if (total.count == 0.0) continue;
    Filled f;
    f.cell = c;
    f.place = static_cast<double>(c) + 0.5 + total.offset / total.count;
    f.value = total.mean();
    const double noise = table.noise_sd * table.noise_sd;
    f.jumps = total.count >= 2.0 &&
              total.variance() > noise * (1.0 + jumps_sds * std::sqrt(2.0 / (total.count - 1.0)));
    filled.push_back(f);
  }
  return filled;
}

void share_out(std::vector<Filled>& filled, const PhaseTable& table) {
  const std::size_t n = filled.size();
  const auto cells = static_cast<double>(table.cells);
  const bool dense = static_cast<double>(n) >= nearly_all * cells;
  const auto place = [&](std::size_t i) {
    return dense ? static_cast<double>(filled[i].cell) : filled[i].place;
  };
  for (std::size_t i = 0; i < n; ++i) {
    const double before = i == 0 ? place(n - 1) - cells : place(i - 1);
    const double after = i + 1 == n ? place(0) + cells : place(i + 1);
    filled[i].share = (after - before) / 2.0 / cells;
  }
}

double mean_of(const std::vector<Filled>& filled) {
  double mean = 0.0;
  for (const Filled& f : filled) mean += f.share * f.value;
  return mean;
}

void find_sides(std::vector<Filled>& filled, const TableViews& views, double mean) {
  const PhaseTable& table = views.table;
  const std::size_t reach = table.cells / neighbourhood;
  for (Filled& f : filled) {
    const CellTotals& total = table.total[f.cell];
    double off = f.value - mean;
    if (std::abs(off) < side_sds * table.noise_sd / std::sqrt(total.count)) {
      const std::size_t from = (f.cell + table.cells - reach) % table.cells;
      off = views.curve.mean(from, 2 * reach + 1) - mean;
    }
    f.side = f.jumps ? 0.0 : off < 0.0 ? -1.0 : 1.0;
    f.distance = f.jumps ? total.distance / total.count : f.side * (f.value - mean);
  }
}

/// The index without one of the stretches, the sides being those of all.
double index_without(std::size_t stretch, const std::vector<Filled>& filled,
                     const PhaseTable& table) {
  std::vector<double> value(filled.size());
  double mean = 0.0;
  for (std::size_t i = 0; i < filled.size(); ++i) {
    const CellTotals& total = table.total[filled[i].cell];
    const double count = total.count - table.count_in(stretch, filled[i].cell);
    value[i] = count > 0.0 ? (total.value - table.value_in(stretch, filled[i].cell)) / count
                           : filled[i].value;
    mean += filled[i].share * value[i];
  }
  double distance = 0.0;
  for (std::size_t i = 0; i < filled.size(); ++i) {
    const Filled& f = filled[i];
    distance += f.share * (f.jumps ? f.distance : f.side * (value[i] - mean));
  }
  return distance / 2.0 / (table.middle + mean);
}

/// Leave one stretch out, and what the noise must do at least.
double index_sd(const std::vector<Filled>& filled, const PhaseTable& table, double index,
                double level) {
  const auto n = static_cast<double>(table.stretches);
  double scatter = 0.0;
  for (std::size_t s = 0; s < table.stretches; ++s) {
    const double off = index_without(s, filled, table) - index;
    scatter += off * off;
  }
  scatter *= (n - 1.0) / n;
  double balance = 0.0;
  for (const Filled& f : filled) balance += f.share * f.side;
  const double mean_sd = table.noise_sd / std::sqrt(table.samples) / level;
  const double model = mean_sd * mean_sd * (0.25 * (1.0 - balance * balance) + index * index);
  return sd_of_stretches(scatter, model, n);
}

/// Where between two sampled phases an edge lies, the samples do not say.
double edges_bound(const std::vector<Filled>& filled, const PhaseTable& table, double range) {
  const std::size_t n = filled.size();
  const auto cells = static_cast<double>(table.cells);
  const bool dense = static_cast<double>(n) >= nearly_all * cells;
  double squares = 0.0;
  for (std::size_t i = 0; i < n; ++i) {
    const Filled& here = filled[i];
    const Filled& next = filled[(i + 1) % n];
    double step = 0.0;
    double gap = table.phase_gap;
    if (here.jumps) {
      step = std::abs(next.value - filled[(i + n - 1) % n].value);
    } else {
      const double noise = table.noise_sd / std::sqrt(table.total[here.cell].count);
      step = std::abs(next.value - here.value) - noise_left_out_sds * noise;
      if (step < index_edge_share * range) continue;
      const double apart = next.place - here.place + (i + 1 == n ? cells : 0.0);
      if (!dense) gap = apart / cells;
    }
    squares += step * gap * step * gap;
  }
  return usual_gap_sd * std::sqrt(squares);
}

/// Codes of a converter err each for itself; how much of the cycle one code fills counts.
double rounding_bound(const std::vector<Filled>& filled, const PhaseTable& table) {
  const double left = rounding_left(table.step, table.noise_sd);
  if (!(left > 0.0)) return 0.0;
  std::vector<std::pair<double, double>> codes;
  for (const Filled& f : filled) {
    codes.emplace_back(std::round((f.value + table.middle) / table.step), f.share);
  }
  std::sort(codes.begin(), codes.end());
  double squares = 0.0;
  double share = 0.0;
  for (std::size_t i = 0; i < codes.size(); ++i) {
    share += codes[i].second;
    if (i + 1 < codes.size() && codes[i + 1].first == codes[i].first) continue;
    squares += share * share;
    share = 0.0;
  }
  return left * std::sqrt(squares);
}

}  // namespace

TableIndex table_index(const TableViews& views, double range) {
  const PhaseTable& table = views.table;
  std::vector<Filled> filled = filled_cells(table);
  share_out(filled, table);
  const double mean = mean_of(filled);
  find_sides(filled, views, mean);
  double distance = 0.0;
  for (const Filled& f : filled) distance += f.share * f.distance;

  TableIndex all;
  all.mean = table.middle + mean;
  all.index.value = distance / 2.0 / all.mean;
  all.index.sd = index_sd(filled, table, all.index.value, all.mean);
  // A part of the light that lies on the other side changes the distance by half, the mean by all.
  const double of_level = (0.5 + all.index.value) / all.mean;
  all.index.bound =
      of_level * std::hypot(edges_bound(filled, table, range), rounding_bound(filled, table));
  return all;
}

}  // namespace lampbeat::signal::cycle
