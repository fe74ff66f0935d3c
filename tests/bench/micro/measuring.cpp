#include <benchmark/benchmark.h>

#include <cmath>
#include <cstddef>
#include <random>
#include <vector>

#include "arithmetic/phase.hpp"
#include "lampbeat/standards.hpp"
#include "lampbeat/tones.hpp"
#include "signal/cycle/each_rhythm.hpp"
#include "signal/cycle/folded_rhythm.hpp"
#include "signal/left_over/rest_of_window.hpp"
#include "signal/tones/rhythm.hpp"

// What each part of the work on one second of light costs, as it goes on from window to window.

namespace {

using namespace lampbeat;

constexpr double rate_hz = 48000.0;

/// Rectified mains, and where asked for a dimmer's pulses beside it.
std::vector<double> one_second(bool pulses) {
  std::mt19937 random(7);
  std::normal_distribution<double> noise(0.0, 1e-3);
  std::vector<double> value;
  for (std::size_t i = 0; i < static_cast<std::size_t>(rate_hz); ++i) {
    const double t_s = static_cast<double>(i) / rate_hz;
    double x = 1.0 + 0.3 * std::abs(std::sin(arithmetic::turn * 50.01 * t_s));
    if (pulses) x += std::fmod(481.3 * t_s, 1.0) < 0.4 ? 0.2 : 0.0;
    value.push_back(x + noise(random));
  }
  return value;
}

/// The second, and what is known of it from the one before.
struct Seen {
  std::vector<double> value;
  Window window;
  ToneAnalysis tones;
  signal::tones::RhythmChoice choice;

  explicit Seen(const benchmark::State& state)
      : value(one_second(state.range(0) > 1)),
        window{value, {}, 1.0 / rate_hz},
        tones(analyse_tones(window, {})),
        choice(signal::tones::choose_rhythms(tones)) {}
};

void search(benchmark::State& state) {
  const Seen seen(state);
  while (state.KeepRunning()) benchmark::DoNotOptimize(analyse_tones(seen.window, {}));
}
BENCHMARK(search)->Arg(1)->Arg(2)->Unit(benchmark::kMicrosecond);

void follow(benchmark::State& state) {
  const Seen seen(state);
  while (state.KeepRunning()) benchmark::DoNotOptimize(follow_tones(seen.window, seen.tones));
  for (const ToneSeries& series : seen.tones.series)
    state.counters["lines"] += static_cast<double>(series.tones.size());
}
BENCHMARK(follow)->Arg(1)->Arg(2)->Unit(benchmark::kMicrosecond);

void fold(benchmark::State& state) {
  const Seen seen(state);
  while (state.KeepRunning()) {
    benchmark::DoNotOptimize(
        signal::cycle::folded_rhythm(seen.window, seen.choice.rhythms.front(), 0));
  }
}
BENCHMARK(fold)->Arg(1)->Unit(benchmark::kMicrosecond);

void fold_apart(benchmark::State& state) {
  const Seen seen(state);
  while (state.KeepRunning()) {
    benchmark::DoNotOptimize(signal::cycle::take_apart(seen.window, seen.choice, 0));
  }
}
BENCHMARK(fold_apart)->Arg(2)->Unit(benchmark::kMicrosecond);

void fold_together(benchmark::State& state) {
  const Seen seen(state);
  while (state.KeepRunning()) {
    benchmark::DoNotOptimize(cycle_figures(seen.window, seen.choice.rhythms));
  }
}
BENCHMARK(fold_together)->Arg(2)->Unit(benchmark::kMicrosecond);

void account(benchmark::State& state) {
  const Seen seen(state);
  signal::left_over::RestOfWindow rest;
  while (state.KeepRunning()) {
    rest.find(seen.window, 0.0, seen.tones, seen.choice, 0.0);
    benchmark::DoNotOptimize(rest.beside());
  }
}
BENCHMARK(account)->Arg(1)->Arg(2)->Unit(benchmark::kMicrosecond);

void low_pass(benchmark::State& state) {
  const Seen seen(state);
  const std::vector<double> rhythms_hz = {seen.choice.rhythms.front().hz};
  while (state.KeepRunning()) benchmark::DoNotOptimize(ja10_extremes(seen.window, rhythms_hz));
}
BENCHMARK(low_pass)->Arg(1)->Unit(benchmark::kMicrosecond);

}  // namespace
