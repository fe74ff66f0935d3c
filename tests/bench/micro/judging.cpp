#include <benchmark/benchmark.h>

#include <vector>

#include "lampbeat/filming.hpp"
#include "lampbeat/prediction.hpp"
#include "lampbeat/shutters.hpp"
#include "lampbeat/typical.hpp"
#include "reasoning/bands/contrast.hpp"
#include "reasoning/bands/effort.hpp"
#include "reasoning/bands/eye.hpp"
#include "reasoning/bands/lags.hpp"
#include "reasoning/mixture/series.hpp"

// What one question to the judge costs, and the parts that answer it.

namespace {

using namespace lampbeat;

constexpr double mains_hz = 50.0;

std::vector<LightShare> room(const benchmark::State& state) {
  std::vector<LightShare> lights = {{typical_light("led-rippled", mains_hz), 1.0}};
  if (state.range(0) > 1) lights.push_back({typical_light("led-pwm", mains_hz), 1.0});
  return lights;
}

Shot shot() { return shot_of({25, 1}, 1.0 / 60.0, 0.016, 1080); }

void one_prediction(benchmark::State& state) {
  const std::vector<LightShare> lights = room(state);
  while (state.KeepRunning()) benchmark::DoNotOptimize(predict(lights, shot(), {}));
}
BENCHMARK(one_prediction)->Arg(1)->Arg(2)->Unit(benchmark::kMicrosecond);

void plan_of_five_rates(benchmark::State& state) {
  const std::vector<LightShare> lights = room(state);
  PlanRequest request;
  request.frame_rates = {{24, 1}, {25, 1}, {30, 1}, {50, 1}, {60, 1}};
  while (state.KeepRunning()) benchmark::DoNotOptimize(plan_shutters(lights, request));
}
BENCHMARK(plan_of_five_rates)->Arg(1)->Arg(2)->Unit(benchmark::kMillisecond)->UseRealTime();

void filming_class(benchmark::State& state, const char* typical) {
  const Light light = typical_light(typical, mains_hz);
  while (state.KeepRunning()) benchmark::DoNotOptimize(rate_for_filming(light, {}, {}));
}
BENCHMARK_CAPTURE(filming_class, tungsten, "tungsten")->Unit(benchmark::kMicrosecond);
BENCHMARK_CAPTURE(filming_class, smoothed, "led-smoothed")->Unit(benchmark::kMicrosecond);
BENCHMARK_CAPTURE(filming_class, rippled, "led-rippled")->Unit(benchmark::kMicrosecond);
BENCHMARK_CAPTURE(filming_class, dimmed, "led-pwm")->Unit(benchmark::kMicrosecond);

void eye_on_bands(benchmark::State& state) {
  const reasoning::bands::Eye eye{Viewing{}};
  double bands = 1.0;
  while (state.KeepRunning()) {
    benchmark::DoNotOptimize(eye.of_bands(0.01, bands, 3.0));
    bands = bands < 30.0 ? bands + 0.1 : 1.0;
  }
}
BENCHMARK(eye_on_bands);

void widest_pair_of_rows(benchmark::State& state, reasoning::bands::Effort effort) {
  const auto rhythms = reasoning::mixture::series_of(room(state));
  const auto lags =
      reasoning::bands::lags_up_to(1079, reasoning::bands::parameters_of(effort).most_lags);
  while (state.KeepRunning()) {
    benchmark::DoNotOptimize(reasoning::bands::widest_pair(rhythms, lags, 0.016 / 1080, effort));
  }
}
BENCHMARK_CAPTURE(widest_pair_of_rows, full, reasoning::bands::Effort::full)
    ->Arg(1)
    ->Arg(2)
    ->Unit(benchmark::kMicrosecond);
BENCHMARK_CAPTURE(widest_pair_of_rows, quick, reasoning::bands::Effort::quick)
    ->Arg(1)
    ->Arg(2)
    ->Unit(benchmark::kMicrosecond);

}  // namespace
