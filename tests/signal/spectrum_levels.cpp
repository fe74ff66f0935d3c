#include <complex>

#include "lampbeat/spectrum.hpp"
#include "signal/spectrum/fft.hpp"
#include "signal/spectrum/gridding.hpp"
#include "support/catch.hpp"
#include "support/signals.hpp"

using namespace lampbeat;

namespace {

std::complex<double> naive(const std::vector<double>& place_turns, const std::vector<double>& value,
                           std::size_t k) {
  std::complex<double> sum = 0.0;
  for (std::size_t n = 0; n < value.size(); ++n) {
    sum += value[n] * std::polar(1.0, -signals::two_pi * static_cast<double>(k) * place_turns[n]);
  }
  return sum;
}

}  // namespace

TEST_CASE("the fast transform equals the plain sum") {
  for (const std::size_t size : {2u, 30u, 128u, 250u}) {
    signals::Samples s = signals::even_times(static_cast<double>(size), 1.0);
    signals::add_noise(s, 1.0, 3);
    std::vector<double> turns;
    for (std::size_t i = 0; i < size; ++i) turns.push_back(double(i) / double(size));
    const auto fast = signal::spectrum::forward_transform(s.value, size);
    REQUIRE(fast.size() == size / 2 + 1);
    for (std::size_t k = 0; k < fast.size(); ++k) {
      CHECK(std::abs(fast[k] - naive(turns, s.value, k)) < 1e-11);
    }
  }
}

TEST_CASE("transform sizes are even, large enough and smooth") {
  CHECK(signal::spectrum::fast_transform_size(20000) == 20000);
  CHECK(signal::spectrum::fast_transform_size(1) == 2);
  CHECK(signal::spectrum::fast_transform_size(19997) == 20000);
  CHECK(signal::spectrum::fast_transform_size(8209) == 8232);  // 2³ · 3 · 7³
}

TEST_CASE("the gridded transform of uneven samples equals the plain sum") {
  signals::Samples s = signals::jittered_times(200.0, 1.0, 0.9, 8);
  signals::add_noise(s, 1.0, 5);
  const auto fast = signal::spectrum::gridded_transform(s.time_s, s.value, 100);
  REQUIRE(fast.size() == 101);
  for (std::size_t k = 0; k <= 100; ++k) {
    CHECK(std::abs(fast[k] - naive(s.time_s, s.value, k)) < 1e-9);
  }
}

TEST_CASE("a sinusoid on a bin reads its amplitude, evenly sampled or not") {
  for (const double amplitude : {0.001, 0.5, 20.0}) {
    for (const bool even : {true, false}) {
      signals::Samples s =
          even ? signals::even_times(2000.0, 1.0) : signals::jittered_times(2000.0, 1.0, 0.3, 4);
      signals::fill(s, signals::sum_of(3.0 * amplitude, {{250.0, amplitude, 0.4}}));
      const Spectrum spectrum = spectrum_of(s.window());
      const auto bin = static_cast<std::size_t>(std::lround(250.0 / spectrum.bin_hz));
      CHECK(spectrum.amplitude[bin] == Approx(amplitude).epsilon(even ? 1e-9 : 0.01));
    }
  }
}

TEST_CASE("side lobes of a line between bins stay below -92 dB") {
  // Harris, Proc. IEEE 66(1), 1978, table I: highest side lobe of the 4-term window -92 dB.
  signals::Samples s = signals::even_times(2000.0, 1.0);
  signals::fill(s, signals::sum_of(0.0, {{250.5, 1.0, 0.4}}));
  const Spectrum spectrum = spectrum_of(s.window());
  for (std::size_t k = 8; k < spectrum.amplitude.size(); ++k) {
    const double hz = static_cast<double>(k) * spectrum.bin_hz;
    if (std::abs(hz - 250.5) < 5.0) continue;
    CHECK(20.0 * std::log10(spectrum.amplitude[k]) < -91.5);
  }
}

TEST_CASE("the floor reads a known noise level within half a decibel at every size") {
  // White noise of variance σ²: mean amplitude √(π/2) · σ √(2 B/N), B = 2.0044 bins (Harris).
  for (const double rate : {1000.0, 4000.0, 20000.0, 48001.0}) {
    double mean_floor = 0.0;
    double expected = 0.0;
    for (unsigned seed = 0; seed < 8; ++seed) {
      signals::Samples s = signals::even_times(rate, 1.0);
      signals::add_noise(s, 0.1, seed);
      const Spectrum spectrum = spectrum_of(s.window());
      for (const double f : spectrum.floor) {
        mean_floor += f / static_cast<double>(spectrum.floor.size()) / 8.0;
      }
      expected = std::sqrt(std::numbers::pi / 2.0) * 0.1 *
                 std::sqrt(2.0 * 2.0044 / double(s.value.size()));
    }
    INFO(rate);
    CHECK(std::abs(20.0 * std::log10(mean_floor / expected)) < 0.5);
  }
}

TEST_CASE("the floor ignores lines and follows noise that changes along the spectrum") {
  signals::Samples s = signals::even_times(20000.0, 1.0);
  signals::add_noise(s, 0.1, 2);
  for (std::size_t i = s.value.size() - 1; i > 0; --i) s.value[i] += 0.9 * s.value[i - 1];
  const Spectrum quiet = spectrum_of(s.window());
  const auto line = signals::sum_of(0.0, {{3000.0, 5.0, 0.0}});
  for (std::size_t i = 0; i < s.value.size(); ++i) s.value[i] += line(s.time_at(i));
  const Spectrum loud = spectrum_of(s.window());
  CHECK(loud.floor[3000] == Approx(quiet.floor[3000]).epsilon(0.05));
  CHECK(quiet.floor[9000] < 0.9 * quiet.floor[2000]);
}

TEST_CASE("degenerate windows give an empty or finite spectrum") {
  CHECK(spectrum_of(Window{}).amplitude.empty());
  signals::Samples far;  // a few samples about a very long gap
  for (int i = 0; i < 20; ++i) {
    far.time_s.push_back(i * 0.001 + (i > 10 ? 1e6 : 0.0));
    far.value.push_back(i % 2);
  }
  far.interval_s = 0.001;
  CHECK(spectrum_of(far.window()).amplitude.size() < 1000);
}
