#include "signal/cycle/ripple_free.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cstddef>
#include <span>

#include "arithmetic/lanes.hpp"
#include "signal/cycle/averaged_cycle.hpp"
#include "signal/cycle/whole_cycles.hpp"

namespace lampbeat::signal::cycle {
namespace {

constexpr std::size_t finest_division = 128;  ///< a pulse
/// Noise is then averaged to a third of itself in what is taken out.
constexpr double samples_averaged = 8.0;
/// How often in a window the level that stands in for an edge is new.
constexpr double levels_in_window = 256.0;

/// `sum` less what two cycles times each other explain of it.
void take_out_product(const std::vector<double>& sum, const AveragedCycle& a,
                      const AveragedCycle& b, std::vector<double>& product) {
  const CycleShape one = a.shape();
  const CycleShape other = b.shape();
  for (std::size_t i = 0; i < sum.size(); ++i) {
    product[i] = one.at(a.phases().at(i)) * other.at(b.phases().at(i));
  }
  const double squares = arithmetic::sum_of_products(product, product);
  const double share = squares > 0.0 ? arithmetic::sum_of_products(sum, product) / squares : 0.0;
  for (std::size_t i = 0; i < sum.size(); ++i) product[i] = sum[i] - share * product[i];
}

/// The level lately: an average that forgets.
class RecentLevel {
 public:
  static constexpr std::size_t samples_at_once = 4;
  RecentLevel(double level, double forget) : level_(level), keep_(1.0 - forget) {
    double weight = forget;
    for (std::size_t k = samples_at_once; k-- > 0; weight *= keep_) weight_[k] = weight;
    keep_all_ = weight / forget;
  }
  double operator()() const { return level_; }
  void add(double x) { level_ = keep_ * level_ + weight_[samples_at_once - 1] * x; }
  /// Several at once, which need not wait for each other.
  void add(std::span<const double, samples_at_once> x) {
    level_ = keep_all_ * level_ +
             ((weight_[0] * x[0] + weight_[1] * x[1]) + (weight_[2] * x[2] + weight_[3] * x[3]));
  }

 private:
  double level_;
  double keep_;
  double keep_all_;
  std::array<double, samples_at_once> weight_{};
};

/// Samples in an edge of a rhythm carry the level of those before.
void level_edges(std::vector<double>& rest, const std::vector<AveragedCycle>& cycles) {
  if (std::none_of(cycles.begin(), cycles.end(),
                   [](const AveragedCycle& c) { return c.has_edges(); })) {
    return;
  }
  std::vector<unsigned char> in_edge(rest.size());
  for (const AveragedCycle& cycle : cycles) cycle.mark_edges(in_edge);
  const auto n = static_cast<double>(rest.size());
  RecentLevel level(arithmetic::sum_of(rest) / n, std::min(0.5, levels_in_window / n));
  constexpr std::size_t samples_at_once = RecentLevel::samples_at_once;
  for (std::size_t i = 0; i < rest.size();) {
    if (i + samples_at_once <= rest.size() &&
        !(in_edge[i] | in_edge[i + 1] | in_edge[i + 2] | in_edge[i + 3])) {
      level.add(std::span<const double>(rest).subspan(i).first<samples_at_once>());
      i += samples_at_once;
      continue;
    }
    if (in_edge[i]) {
      rest[i] = level();
    } else {
      level.add(rest[i]);
    }
    ++i;
  }
}

/// The averaged cycles of the rhythms that have enough of them, taken out of `rest`.
std::vector<AveragedCycle> take_out_cycles(std::vector<double>& rest, const Window& window,
                                           const std::vector<Rhythm>& rhythms) {
  const double enough = static_cast<double>(rest.size()) / samples_averaged;
  std::vector<AveragedCycle> cycles;
  for (const Rhythm& rhythm : rhythms) {
    if (rhythm.hz * window.duration_s() < fewest_cycles_folded) continue;
    const double most = static_cast<double>(finest_division) * rhythm.pulses;
    const auto cells = std::bit_floor(static_cast<std::size_t>(std::clamp(enough, 2.0, most)));
    cycles.emplace_back(window, rhythm, cells);
  }
  // What one took from the other, a window of few common cycles, comes right in a second round.
  const int rounds = cycles.size() > 1 ? 2 : 1;
  for (int round = 0; round < rounds; ++round) {
    for (AveragedCycle& cycle : cycles) cycle.learn(rest);
  }
  return cycles;
}

}  // namespace

void without_rhythms(const Window& window, const std::vector<Rhythm>& rhythms,
                     std::vector<double>& rest) {
  rest.assign(window.value.begin(), window.value.end());
  const std::vector<AveragedCycle> cycles = take_out_cycles(rest, window, rhythms);
  level_edges(rest, cycles);
}

std::vector<double> without_rhythms(const Window& window, const std::vector<Rhythm>& rhythms) {
  std::vector<double> rest;
  without_rhythms(window, rhythms, rest);
  return rest;
}

void without_rhythms_either_way(const Window& window, const std::vector<Rhythm>& rhythms,
                                LeftByMeeting& left) {
  left.sum.assign(window.value.begin(), window.value.end());
  const std::vector<AveragedCycle> cycles = take_out_cycles(left.sum, window, rhythms);
  left.product.assign(left.sum.begin(), left.sum.end());
  if (cycles.size() == 2) take_out_product(left.sum, cycles[0], cycles[1], left.product);
  level_edges(left.sum, cycles);
  level_edges(left.product, cycles);
}

}  // namespace lampbeat::signal::cycle
