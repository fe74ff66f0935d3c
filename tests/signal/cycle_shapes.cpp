#include "lampbeat/cycle.hpp"

#include "support/catch.hpp"
#include "support/waveforms.hpp"

using namespace lampbeat;

namespace {

constexpr double rate_hz = 20000.0;

std::optional<CycleFigures> figures_of(const std::vector<double>& value, double hz,
                                       double phase = 0.0) {
  return cycle_figures({value, {}, 1.0 / rate_hz}, {{hz, 2 * waveforms::pi * phase}});
}

}  // namespace

TEST_CASE("clean waveforms read their closed-form percent flicker and flicker index") {
  for (const double seconds : {1.0, 3.0}) {
    for (const double hz : {100.02, 120.03}) {
      for (const waveforms::Waveform& w : waveforms::all()) {
        for (const double phase : {0.0, 0.3137}) {
          INFO(w.name << ", " << hz << " Hz, " << seconds << " s, phase " << phase);
          const auto f = figures_of(waveforms::sampled(w, hz, phase, rate_hz, seconds), hz, phase);
          REQUIRE(f);
          CHECK(f->percent_flicker == Approx(w.percent_flicker).margin(0.1));
          CHECK(f->flicker_index == Approx(w.flicker_index).margin(0.002));
        }
      }
    }
  }
}

TEST_CASE("a pulse-width dimmer of a few samples per cycle reads as sharp as it is") {
  for (const double hz : {2011.3, 4321.7, 7641.3}) {
    for (const double duty : {0.1, 0.3, 0.5, 0.9}) {
      INFO(hz << " Hz, duty " << duty);
      const auto w = waveforms::rectangle(duty, 0.0);
      const auto f = figures_of(waveforms::sampled(w, hz, 0.21, rate_hz, 1.0), hz, 0.21);
      REQUIRE(f);
      CHECK(f->percent_flicker == Approx(100).margin(0.1));
      CHECK(f->flicker_index == Approx(1 - duty).margin(0.004));
    }
  }
}

TEST_CASE("a period of a whole number of samples is no obstacle") {
  // Ten distinct phases a cycle, 0.05, 0.15 ... 0.95: a smooth crest between two of them is still
  // found, and a square stays square.
  const double hz = 2000.0;
  const auto sine = figures_of(waveforms::sampled(waveforms::sine(0.2), hz, 0.05, rate_hz, 1), hz);
  REQUIRE(sine);
  CHECK(sine->percent_flicker == Approx(20).margin(0.01));
  const auto square =
      figures_of(waveforms::sampled(waveforms::rectangle(0.5, 0.5), hz, 0.05, rate_hz, 1), hz);
  REQUIRE(square);
  CHECK(square->percent_flicker == Approx(100.0 / 3.0).margin(0.01));
  CHECK(square->flicker_index == Approx(1.0 / 6.0).margin(1e-6));
  // The zero of |sin| between two samples, 200 phases a cycle: found where the flanks meet.
  const auto cusp =
      figures_of(waveforms::sampled(waveforms::rectified(0), 100, 0.0025, rate_hz, 1), 100);
  REQUIRE(cusp);
  CHECK(cusp->percent_flicker == Approx(100).margin(0.1));
}

TEST_CASE("two humps of unequal height are one cycle, not noise") {
  // Half-wave asymmetry: 60 Hz beside 120 Hz. 1 + 0.2 cos 2x + 0.05 cos x peaks at x = 0 with 1.25
  // and is lowest where 0.8 cos x = -0.05: 1 - 0.2 - 0.05²/(8·0.2).
  std::vector<double> x(20000);
  for (std::size_t i = 0; i < x.size(); ++i) {
    const double a = 2 * waveforms::pi * 60.013 * static_cast<double>(i) / rate_hz;
    x[i] = 1 + 0.2 * std::cos(2 * a) + 0.05 * std::cos(a);
  }
  const auto f = figures_of(x, 60.013);
  REQUIRE(f);
  CHECK(f->highest == Approx(1.25).margin(2e-4));
  CHECK(f->lowest == Approx(0.8 - 0.0025 / 1.6).margin(2e-4));
}

TEST_CASE("uneven samples are folded at their own times") {
  // Jitter of 30 % of the interval, a gap, and repeated times.
  const auto w = waveforms::rectified(0.2);
  std::vector<double> value, time;
  unsigned state = 1;
  for (int i = 0; i < 8000; ++i) {
    if (i > 3000 && i < 3300) continue;
    state = state * 1664525u + 1013904223u;
    const double jitter = 0.3 * (static_cast<double>(state) / 4294967296.0 - 0.5);
    double t = std::max(0.0, (i + jitter) / 4000.0);
    if (i % 500 == 499) t = time.back();
    time.push_back(t);
    value.push_back(waveforms::value_at(w, 100.37, 0.0, t));
  }
  const auto f = cycle_figures({value, time, 1.0 / 4000.0}, {{100.37, 0.0}});
  REQUIRE(f);
  CHECK(f->percent_flicker == Approx(w.percent_flicker).margin(0.2));
  CHECK(f->flicker_index == Approx(w.flicker_index).margin(0.002));
}

TEST_CASE("the cycle's shape starts at phase zero and is in sample units") {
  const auto f = figures_of(waveforms::sampled(waveforms::sine(0.5), 120.03, 0.0, rate_hz, 1.0),
                            120.03, -0.25);
  REQUIRE(f);
  REQUIRE(f->shape.size() >= 32);
  const double n = static_cast<double>(f->shape.size());
  // sin(2πp) with its phase given as that of a cosine: point k lies at phase k/n of the cosine.
  for (std::size_t k = 0; k < f->shape.size(); ++k) {
    const double expected = 1 + 0.5 * std::cos(2 * waveforms::pi * static_cast<double>(k) / n);
    CHECK(f->shape[k] == Approx(expected).margin(2e-3));
  }
}

TEST_CASE("without three cycles, or without a positive level, there are no figures") {
  const auto w = waveforms::sine(0.5);
  CHECK_FALSE(figures_of(waveforms::sampled(w, 2.9, 0, rate_hz, 1.0), 2.9));
  CHECK(figures_of(waveforms::sampled(w, 3.1, 0, rate_hz, 1.0), 3.1));
  auto coupled = waveforms::sampled(w, 120, 0, rate_hz, 1.0);
  for (double& v : coupled) v -= 1.0;
  CHECK_FALSE(figures_of(coupled, 120));
  CHECK_FALSE(figures_of({}, 120));
  CHECK_FALSE(figures_of(waveforms::sampled(w, 120, 0, rate_hz, 1.0), 0.0));
  auto broken = waveforms::sampled(w, 120, 0, rate_hz, 1.0);
  broken[77] = std::nan("");
  CHECK_FALSE(figures_of(broken, 120));
  CHECK_FALSE(cycle_figures({broken, {}, 1 / rate_hz}, {}));
}

TEST_CASE("a steady light has no flicker") {
  const auto f = figures_of(std::vector<double>(20000, 0.4), 120);
  REQUIRE(f);
  CHECK(f->percent_flicker == Approx(0).margin(1e-9));
  CHECK(f->flicker_index == Approx(0).margin(1e-9));
}
