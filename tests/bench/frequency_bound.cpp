// How close the fundamental comes to what the noise allows: RMS error over many trials as a
// multiple of the Cramér-Rao bound for a harmonic series in white noise (Nehorai & Porat, IEEE
// Trans. ASSP 34(5), 1986), tones discovered, not given.
//   bench_frequency_bound [trials]

#include <fmt/core.h>

#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <random>
#include <vector>

#include "lampbeat/tones.hpp"
#include "support/signals.hpp"

namespace {

using namespace lampbeat;

struct Row {
  double rms_over_bound = 0.0;
  double stated_over_true = 0.0;
  int missed = 0;
  double stray = 0.0;
  double milliseconds = 0.0;
};

/// Large-sample bound on the standard deviation of the fundamental.
double bound_hz(double sigma, double rate_hz, double duration_s) {
  const double information =
      (0.20 * 0.20 + 4.0 * 0.06 * 0.06 + 9.0 * 0.02 * 0.02) * rate_hz * duration_s / 24.0;
  return sigma / std::sqrt(information) / signals::two_pi / duration_s;
}

Row run(double decibel, double jitter, int trials) {
  const double rate = 20000.0;
  const double fundamental = 120.03;
  const double sigma = 0.20 / std::pow(10.0, decibel / 20.0);
  std::mt19937 random(20240611);
  const auto seed = [&random] { return static_cast<unsigned>(random()); };
  std::uniform_real_distribution<double> phase(0.0, signals::two_pi);
  Row row;
  double squares = 0.0;
  double stated = 0.0;
  int found = 0;
  double working = 0.0;
  for (int trial = 0; trial < trials; ++trial) {
    signals::Samples s = jitter > 0.0 ? signals::jittered_times(rate, 1.0, jitter, seed())
                                      : signals::even_times(rate, 1.0);
    signals::fill(s, signals::sum_of(1.0, {{fundamental, 0.20, phase(random)},
                                           {2 * fundamental, 0.06, phase(random)},
                                           {3 * fundamental, 0.02, phase(random)}}));
    signals::add_noise(s, sigma, seed());
    const auto before = std::chrono::steady_clock::now();
    const ToneAnalysis analysis = analyse_tones(s.window(), {});
    working += std::chrono::duration<double>(std::chrono::steady_clock::now() - before).count();
    if (analysis.series.empty()) {
      ++row.missed;
      continue;
    }
    if (analysis.series.size() > 1) row.stray += 1.0;
    const Tone& strongest = analysis.series.front().tones.front();
    const double error = strongest.hz - fundamental;
    squares += error * error;
    stated += strongest.hz_sd * strongest.hz_sd;
    ++found;
  }
  const double rms = std::sqrt(squares / found);
  row.rms_over_bound = rms / bound_hz(sigma, rate, 1.0);
  row.stated_over_true = std::sqrt(stated / found) / rms;
  row.stray /= trials;
  row.milliseconds = 1e3 * working / trials;
  return row;
}

}  // namespace

int main(int count, char** arguments) {
  const int trials = count > 1 ? std::atoi(arguments[1]) : 2000;
  fmt::print("1 s at 20 kHz, 120.03 Hz with 20/6/2 % components, {} trials a row\n", trials);
  fmt::print("{:>8} {:>8} {:>11} {:>12} {:>12} {:>7} {:>10} {:>10}\n", "level", "jitter",
             "bound mHz", "RMS/bound", "stated/true", "missed", "stray/win", "ms/window");
  for (const double jitter : {0.0, 0.3}) {
    for (const double decibel : {0.0, 10.0, 20.0, 40.0}) {
      const double sigma = 0.20 / std::pow(10.0, decibel / 20.0);
      const Row row = run(decibel, jitter, trials);
      fmt::print("{:>5} dB {:>6} % {:>11.4f} {:>12.3f} {:>12.3f} {:>7} {:>10.4f} {:>10.2f}\n",
                 decibel, 100.0 * jitter, 1e3 * bound_hz(sigma, 20000.0, 1.0), row.rms_over_bound,
                 row.stated_over_true, row.missed, row.stray, row.milliseconds);
      std::fflush(stdout);
    }
  }
  return 0;
}
