#include "signal/cycle/phase_table.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdint>

#include "arithmetic/median.hpp"
#include "signal/cycle/averaged_cycle.hpp"
#include "signal/cycle/converter_step.hpp"
#include "signal/cycle/median_of_squares.hpp"
#include "signal/cycle/whole_cycles.hpp"

namespace lampbeat::signal::cycle {
namespace {

/// Figures of 16 stretches are known to a sixth of their scatter; of 8 the ± holds less often, of
/// 32 no more often (the study of fifteen lights behind this design).
constexpr double most_stretches = 16.0;
/// A cell's width moves no figure that its own correction does not take back; finer where there
/// are samples to fill the cells.
constexpr std::size_t fewest_cells = 256;
constexpr std::size_t most_cells = 1024;
constexpr std::size_t samples_to_fill_a_cell = 8;
/// A pulse of a dimmer that lengthens every so many gets as many cells as one of its own.
constexpr int most_pulses = 4;

/// Variance that the light's own slope makes within a cell.
double slope_within(const PhaseTable& table, std::size_t c) {
  const CellTotals& before = table.total[(c + table.cells - 1) % table.cells];
  const CellTotals& after = table.total[(c + 1) % table.cells];
  if (before.count == 0.0 || after.count == 0.0) return 0.0;
  const double step = (after.mean() - before.mean()) / 2.0;
  return step * step / 12.0;
}

/// Of the scatter within the cells: the median leaves out the few that hold an edge. Empty where
/// most samples are alone in their cells.
std::optional<double> noise_within(const PhaseTable& table) {
  std::vector<double> variances;
  double freedom = 0.0;
  for (std::size_t c = 0; c < table.cells; ++c) {
    const CellTotals& cell = table.total[c];
    if (cell.count < 2.0) continue;
    const double own = cell.count - 1.0;
    variances.push_back((cell.variance() - slope_within(table, c)) / median_of_squares(own));
    freedom += own;
  }
  if (2.0 * freedom < table.samples) return std::nullopt;
  return std::sqrt(std::max(0.0, arithmetic::upper_median(variances)));
}

/// Of the distances of cells from the straight line between their neighbours.
double noise_between(const PhaseTable& table) {
  std::vector<std::size_t> filled;
  for (std::size_t c = 0; c < table.cells; ++c) {
    if (table.total[c].count > 0.0) filled.push_back(c);
  }
  const std::size_t n = filled.size();
  if (n < 3) return 0.0;
  const auto place = [&](std::size_t c) {
    return static_cast<double>(c) + table.total[c].offset / table.total[c].count;
  };
  std::vector<double> variances;
  for (std::size_t i = 0; i < n; ++i) {
    const std::size_t before = filled[(i + n - 1) % n];
    const std::size_t here = filled[i];
    const std::size_t after = filled[(i + 1) % n];
    double left = place(here) - place(before);
    double right = place(after) - place(here);
    if (left < 0.0) left += static_cast<double>(table.cells);
    if (right < 0.0) right += static_cast<double>(table.cells);
    const double share = right / (left + right);  // of the one before
    const double off = table.total[here].mean() - share * table.total[before].mean() -
                       (1.0 - share) * table.total[after].mean();
    variances.push_back(off * off /
                        (1.0 / table.total[here].count + share * share / table.total[before].count +
                         (1.0 - share) * (1.0 - share) / table.total[after].count));
  }
  return std::sqrt(arithmetic::upper_median(variances) / median_of_squares(1.0));
}

std::size_t cells_for(std::size_t samples, int pulses) {
  const std::size_t wanted =
      most_cells * static_cast<std::size_t>(std::clamp(pulses, 1, most_pulses));
  std::size_t cells = fewest_cells;
  while (cells < wanted && 2 * cells * samples_to_fill_a_cell <= samples) cells *= 2;
  return cells;
}

/// The first sample of each stretch, and the one after the last.
std::vector<std::size_t> stretch_starts(const Window& window, std::size_t samples,
                                        const PhaseTable& table) {
  std::vector<std::size_t> starts{0};
  for (std::size_t s = 1; s < table.stretches; ++s) {
    const double from_s = static_cast<double>(s) * table.stretch_s;
    std::size_t i = starts.back();
    if (window.even()) {
      i = std::min(samples, static_cast<std::size_t>(std::ceil(from_s / window.interval_s)));
    } else {
      while (i < samples && window.time_s[i] < from_s) ++i;
    }
    starts.push_back(i);
  }
  starts.push_back(samples);
  return starts;
}

void add_samples(PhaseTable& table, const Window& window, std::size_t samples, const Rhythm& rhythm,
                 const LevelSlope& level) {
  table.part.assign(table.stretches * table.cells, {});
  table.total.assign(table.cells, {});
  const int shift = 64 - std::countr_zero(table.cells);
  const std::uint64_t within = (std::uint64_t{1} << shift) - 1;
  const double in_cells = std::ldexp(1.0, -shift);
  const Phases places(window, rhythm);
  const std::vector<std::size_t> starts = stretch_starts(window, samples, table);
  for (std::size_t s = 0; s < table.stretches; ++s) {
    PartTotals* const part = &table.part[s * table.cells];
    for (std::size_t i = starts[s]; i < starts[s + 1]; ++i) {
      const std::uint64_t place = places.at(i);
      const auto c = static_cast<std::size_t>(place >> shift);
      double x = window.value[i];
      if (!level.none()) x = level.out_of(x, window.time_at(i));
      x -= table.middle;
      part[c].count += 1.0;
      part[c].value += x;
      part[c].offset += static_cast<double>(static_cast<std::int64_t>(place & within)) * in_cells;
      table.total[c].square += x * x;
      table.total[c].distance += std::abs(x);
    }
  }
  for (std::size_t s = 0; s < table.stretches; ++s) {
    for (std::size_t c = 0; c < table.cells; ++c) {
      PartTotals& part = table.part[s * table.cells + c];
      part.offset -= 0.5 * part.count;
      table.total[c].count += part.count;
      table.total[c].value += part.value;
      table.total[c].offset += part.offset;
    }
  }
}

}  // namespace

double CellTotals::variance() const {
  return count < 2.0 ? 0.0 : std::max(0.0, square - value * value / count) / (count - 1.0);
}

std::optional<PhaseTable> fold(const Window& window, const Rhythm& rhythm,
                               const FoldSettings& settings) {
  const bool sane = rhythm.hz > 0.0 && std::isfinite(rhythm.hz) && std::isfinite(rhythm.phase_rad);
  if (!sane || window.size() < fewest_samples_folded) return std::nullopt;
  const double cycles = whole_cycles(window, rhythm.hz);
  if (!(cycles >= fewest_cycles_folded && cycles < most_cycles_folded)) return std::nullopt;
  const double end_s = whole_cycles_end_s(window, rhythm.hz);
  std::size_t used = window.size();
  while (used > 0 && !(window.time_at(used - 1) < end_s)) --used;
  if (used < fewest_samples_folded) return std::nullopt;

  PhaseTable table;
  table.stretches = static_cast<std::size_t>(std::min(most_stretches, cycles));
  table.cells = settings.cells > 0 ? settings.cells : cells_for(used, rhythm.pulses);
  table.stretch_s = cycles / rhythm.hz / static_cast<double>(table.stretches);
  table.samples = static_cast<double>(used);
  double sum = 0.0;
  for (std::size_t i = 0; i < used; ++i) sum += window.value[i];
  table.middle = sum / table.samples;
  if (!std::isfinite(table.middle)) return std::nullopt;

  add_samples(table, window, used, rhythm, settings.level);
  table.noise_sd = noise_within(table).value_or(noise_between(table));
  table.sample_turns = rhythm.hz * window.interval_s;
  table.phase_gap =
      window.even() ? widest_phase_gap(table.sample_turns, table.samples) : 1.0 / table.samples;
  table.step = converter_step(window.value.first(used));
  return table;
}

}  // namespace lampbeat::signal::cycle
