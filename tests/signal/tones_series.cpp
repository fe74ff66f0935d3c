#include <algorithm>
#include <random>

#include "lampbeat/error.hpp"
#include "lampbeat/tones.hpp"
#include "support/catch.hpp"
#include "support/coverage.hpp"
#include "support/signals.hpp"

using namespace lampbeat;
using signals::Samples;
using signals::sum_of;

namespace {

Samples made(double rate_hz, double duration_s, const std::function<double(double)>& shape,
             double noise = 0.0, unsigned seed = 1) {
  Samples s = signals::even_times(rate_hz, duration_s);
  signals::fill(s, shape);
  if (noise > 0.0) signals::add_noise(s, noise, seed);
  return s;
}

const ToneSeries* series_of(const ToneAnalysis& analysis, SeriesKind kind) {
  for (const ToneSeries& series : analysis.series) {
    if (series.kind == kind) return &series;
  }
  return nullptr;
}

double amplitude_of_order(const ToneSeries& series, int order) {
  for (const Tone& tone : series.tones) {
    if (tone.order == order) return tone.amplitude;
  }
  return 0.0;
}

}  // namespace

TEST_CASE("a full-wave rectified sine has the Fourier series of the textbooks") {
  // C_k / mean = 2/(4k² − 1), fundamental at twice the mains.
  const Samples s = made(20000.0, 1.0, signals::rectified(50.02, 0.3));
  const ToneAnalysis analysis = analyse_tones(s.window(), {});
  REQUIRE(analysis.series.size() == 1);
  const ToneSeries& ripple = analysis.series[0];
  CHECK(ripple.kind == SeriesKind::mains_locked);
  CHECK(ripple.fundamental_hz == Approx(50.02).margin(1e-5));
  CHECK(analysis.mean == Approx(2.0 / std::numbers::pi).epsilon(1e-5));
  for (int k = 1; k <= 10; ++k) {
    CHECK(amplitude_of_order(ripple, 2 * k) / analysis.mean ==
          Approx(2.0 / (4.0 * k * k - 1.0)).epsilon(0.01));
  }
}

TEST_CASE("a square wave has odd harmonics falling with their order") {
  // C_k / mean = 4/(πk), odd k, for 50 % duty and full depth.
  const Samples s = made(20000.0, 1.0, signals::pulses(783.71, 0.5), 0.002);
  const ToneAnalysis analysis = analyse_tones(s.window(), {});
  REQUIRE(analysis.series.size() == 1);
  CHECK(analysis.series[0].kind == SeriesKind::free_running);
  for (int k = 1; k <= 11; k += 2) {
    CHECK(amplitude_of_order(analysis.series[0], k) / analysis.mean ==
          Approx(4.0 / (std::numbers::pi * k)).epsilon(0.02));
  }
}

TEST_CASE("a sawtooth has every harmonic, falling with its order") {
  // 2m/(πk) for modulation m.
  const double m = 0.4;
  const Samples s = made(
      20000.0, 1.0,
      [m](double t) { return 1.0 + m * (2.0 * (312.4 * t - std::floor(312.4 * t)) - 1.0); }, 0.001);
  const ToneAnalysis analysis = analyse_tones(s.window(), {});
  REQUIRE(analysis.series.size() == 1);
  for (int k = 1; k <= 8; ++k) {
    CHECK(amplitude_of_order(analysis.series[0], k) ==
          Approx(2.0 * m / (std::numbers::pi * k)).epsilon(0.02));
  }
}

TEST_CASE("a perfect square wave is one series however many of its harmonics fold") {
  const Samples s = made(20000.0, 1.0, signals::pulses(120.03, 0.5));
  const ToneAnalysis analysis = analyse_tones(s.window(), {});
  REQUIRE(analysis.series.size() == 1);
  CHECK(analysis.series[0].fundamental_hz * 2.0 == Approx(120.03).margin(0.001));
  for (const Tone& tone : analysis.series[0].tones) CHECK(tone.order % 2 == 0);
}

TEST_CASE("switched lights of any frequency and duty come out as one series") {
  std::mt19937 random(11);
  std::uniform_real_distribution<double> hz(220.0, 1500.0);
  std::uniform_real_distribution<double> duty(0.1, 0.9);
  int strays = 0;
  for (unsigned trial = 0; trial < 40; ++trial) {
    const double f = hz(random);
    const Samples s = made(20000.0, 1.0, signals::pulses(f, duty(random), 0.3), 0.01, trial);
    const ToneAnalysis analysis = analyse_tones(s.window(), {});
    REQUIRE(!analysis.series.empty());
    if (analysis.series.size() > 1) ++strays;
    CHECK(analysis.series[0].fundamental_hz == Approx(f).margin(0.02));
  }
  // Beside a simple fraction of the sampling rate folds pile up within a bin of one another, and
  // nothing in one second of samples can take them apart.
  CHECK(strays <= 2);
}

TEST_CASE("noise alone yields no tone") {
  int alarms = 0;
  int windows = 0;
  for (const double rate : {1000.0, 5000.0, 20000.0}) {
    for (const bool even : {true, false}) {
      const unsigned trials = rate > 10000.0 ? 100 : 300;
      for (unsigned trial = 0; trial < trials; ++trial) {
        Samples s =
            even ? signals::even_times(rate, 1.0) : signals::jittered_times(rate, 1.0, 0.3, trial);
        signals::fill(s, sum_of(1.0, {}));
        signals::add_noise(s, 0.02, 50000 + trial);
        alarms += analyse_tones(s.window(), {}).series.empty() ? 0 : 1;
        ++windows;
      }
    }
  }
  // One in a thousand is the design; five of 1400 would come about once in 70 suites.
  CHECK(windows == 1400);
  CHECK(alarms <= 4);
}

TEST_CASE("a tone at the detection floor is found nine times in ten") {
  int found = 0;
  std::mt19937 random(5);
  std::uniform_real_distribution<double> hz(150.0, 9000.0);
  for (unsigned trial = 0; trial < 100; ++trial) {
    Samples s = made(20000.0, 1.0, sum_of(1.0, {}), 0.01, trial);
    const double floor = analyse_tones(s.window(), {}).detection_floor;
    const auto tone = sum_of(0.0, {{hz(random), floor, 0.2}});
    for (std::size_t i = 0; i < s.value.size(); ++i) s.value[i] += tone(s.time_at(i));
    found += analyse_tones(s.window(), {}).series.empty() ? 0 : 1;
  }
  CHECK(found >= 85);
}

TEST_CASE("the mains is recognised wherever it wanders to") {
  lampbeat::test::Coverage fundamental;
  for (const double mains : {49.6, 49.9, 50.0, 50.04, 50.3, 59.5, 59.9, 60.0, 60.05, 60.3}) {
    INFO(mains);
    const Samples s = made(20000.0, 1.0, signals::rectified(mains, 1.1), 0.01, 3);
    const ToneAnalysis analysis = analyse_tones(s.window(), {});
    REQUIRE(analysis.series.size() == 1);
    CHECK(analysis.series[0].kind == SeriesKind::mains_locked);
    CHECK(std::abs(analysis.series[0].fundamental_hz - mains) <
          5.0 * analysis.series[0].fundamental_hz_sd);
    fundamental.take(analysis.series[0].fundamental_hz - mains,
                     analysis.series[0].fundamental_hz_sd);
    CHECK(analysis.series[0].tones[0].order == 2);
  }
  CHECK(fundamental.stated_over_actual() < 3.0);
}

TEST_CASE("a lone ripple at twice the mains is the mains, a lone tone elsewhere is not") {
  for (const double hz : {99.2, 100.0, 100.9, 118.7, 120.0, 121.3}) {
    const Samples s = made(8000.0, 1.0, sum_of(1.0, {{hz, 0.1, 0.4}}), 0.01);
    const ToneAnalysis analysis = analyse_tones(s.window(), {});
    REQUIRE(analysis.series.size() == 1);
    CHECK(analysis.series[0].kind == SeriesKind::mains_locked);
    CHECK(analysis.series[0].tones[0].order == 2);
  }
  for (const double hz : {90.0, 105.0, 110.0, 130.0, 300.0}) {
    const Samples s = made(8000.0, 1.0, sum_of(1.0, {{hz, 0.1, 0.4}}), 0.01);
    const ToneAnalysis analysis = analyse_tones(s.window(), {});
    REQUIRE(analysis.series.size() == 1);
    CHECK(analysis.series[0].kind == SeriesKind::free_running);
  }
}

TEST_CASE("the user's word on the mains is taken") {
  const Samples s = made(8000.0, 1.0, sum_of(1.0, {{120.0, 0.1, 0.4}, {240.0, 0.03, 0.4}}), 0.005);
  ToneSettings settings;
  settings.mains_hz = 50.0;
  CHECK(analyse_tones(s.window(), settings).series.at(0).kind == SeriesKind::free_running);
  settings.mains_hz = 60.0;
  CHECK(analyse_tones(s.window(), settings).series.at(0).kind == SeriesKind::mains_locked);
}

TEST_CASE("uneven half cycles show as a line at the mains frequency itself") {
  const Samples s =
      made(20000.0, 1.0, sum_of(1.0, {{49.97, 0.01, 0.4}, {99.94, 0.2, 1.0}, {199.88, 0.03, 2.0}}),
           0.01);
  const ToneAnalysis analysis = analyse_tones(s.window(), {});
  REQUIRE(analysis.series.size() == 1);
  CHECK(amplitude_of_order(analysis.series[0], 1) == Approx(0.01).margin(0.0005));
}

TEST_CASE("a slow flicker is found from three cycles on") {
  const Samples slow = made(5000.0, 1.0, sum_of(1.0, {{8.8, 0.05, 0.4}, {120.1, 0.1, 0.0}}), 0.01);
  const ToneAnalysis analysis = analyse_tones(slow.window(), {});
  const ToneSeries* own = series_of(analysis, SeriesKind::free_running);
  REQUIRE(own != nullptr);
  CHECK(own->fundamental_hz == Approx(8.8).margin(0.02));
  CHECK(own->tones[0].amplitude == Approx(0.05).epsilon(0.03));
  const Samples two_cycles = made(5000.0, 1.0, sum_of(1.0, {{1.6, 0.05, 0.4}}), 0.005);
  CHECK(analyse_tones(two_cycles.window(), {}).series.empty());
}

TEST_CASE("two unrelated series are both found and kept apart") {
  const auto pwm = signals::pulses(1237.77, 0.4);
  const auto ripple = signals::rectified(50.02, 0.2);
  const Samples s = made(
      20000.0, 1.0, [&](double t) { return 1.0 + 0.3 * ripple(t) + 0.2 * pwm(t); }, 0.005);
  const ToneAnalysis analysis = analyse_tones(s.window(), {});
  REQUIRE(analysis.series.size() == 2);
  const ToneSeries* locked = series_of(analysis, SeriesKind::mains_locked);
  const ToneSeries* own = series_of(analysis, SeriesKind::free_running);
  REQUIRE(locked != nullptr);
  REQUIRE(own != nullptr);
  CHECK(locked->fundamental_hz == Approx(50.02).margin(0.001));
  CHECK(own->fundamental_hz == Approx(1237.77).margin(0.001));
  // 4 · 0.3/(π·3) and 2 sin(0.4π) · 0.2/π
  CHECK(amplitude_of_order(*locked, 2) == Approx(0.4 / std::numbers::pi).epsilon(0.01));
  CHECK(amplitude_of_order(*own, 1) ==
        Approx(0.4 * std::sin(0.4 * std::numbers::pi) / std::numbers::pi).epsilon(0.01));
}

TEST_CASE("a chopped rippling light has sidebands, named as such") {
  const auto pwm = signals::pulses(481.3, 0.5);
  const Samples s = made(
      20000.0, 1.0,
      [&](double t) { return (1.0 + 0.2 * std::cos(signals::two_pi * 100.04 * t)) * pwm(t); },
      0.005);
  const ToneAnalysis analysis = analyse_tones(s.window(), {});
  const ToneSeries* beside = series_of(analysis, SeriesKind::sideband);
  REQUIRE(analysis.series.size() == 3);
  REQUIRE(beside != nullptr);
  CHECK(beside->fundamental_hz == Approx(481.3).margin(0.002));
  const auto has = [&](double hz) {
    return std::any_of(beside->tones.begin(), beside->tones.end(), [&](const Tone& tone) {
      return std::abs(tone.hz - hz) < 0.01 && tone.beside.has_value();
    });
  };
  CHECK(has(481.3 - 100.04));
  CHECK(has(481.3 + 100.04));
  CHECK(has(3 * 481.3 - 100.04));
  // (2/π) · 0.2 / 2
  CHECK(beside->tones[0].amplitude == Approx(0.2 / std::numbers::pi).epsilon(0.02));
}

TEST_CASE("a rhythm near a high multiple of the mains is locked only when it is that multiple") {
  const auto locked = [](double offset_hz) {
    const Samples s = made(
        20000.0, 1.0,
        sum_of(1.0, {{100.06, 0.1, 0.3}, {200.12, 0.02, 1.0}, {20 * 50.03 + offset_hz, 0.1, 2.0}}),
        0.005, 9);
    return analyse_tones(s.window(), {}).series.size() == 1;
  };
  CHECK(locked(0.0));
  CHECK_FALSE(locked(0.05));
  CHECK_FALSE(locked(-0.05));
}

TEST_CASE("harmonics that fold are given their true frequency in their own series") {
  const Samples s = made(5000.0, 1.0, signals::pulses(487.9, 0.3), 0.003);
  const ToneAnalysis analysis = analyse_tones(s.window(), {});
  REQUIRE(analysis.series.size() == 1);
  const ToneSeries& pwm = analysis.series[0];
  for (const int k : {1, 2, 4, 6, 7, 8}) {
    CHECK(amplitude_of_order(pwm, k) ==
          Approx(2.0 * std::abs(std::sin(0.3 * k * std::numbers::pi)) / (k * std::numbers::pi))
              .margin(0.006));
  }
}

TEST_CASE("a drifting level does not disturb the tones") {
  const auto shape = [](double t) {
    return 1.0 + 0.1 * t + 0.2 * std::cos(signals::two_pi * 100.04 * t + 0.5);
  };
  const Samples s = made(20000.0, 1.0, shape, 0.002);
  const ToneAnalysis analysis = analyse_tones(s.window(), {});
  REQUIRE(analysis.series.size() == 1);
  REQUIRE(analysis.series[0].tones.size() == 1);
  CHECK(analysis.change == Approx(0.1).margin(0.001));
  CHECK(analysis.mean == Approx(1.05).margin(0.0005));
  CHECK(analysis.series[0].tones[0].amplitude == Approx(0.2).margin(0.0002));
  CHECK(analysis.series[0].tones[0].phase_rad == Approx(0.5).margin(0.002));
}

TEST_CASE("scale, constant and time shift change only what they must") {
  const auto shape = sum_of(1.0, {{100.1, 0.2, 0.3}, {200.2, 0.05, 1.0}, {333.3, 0.04, 2.0}});
  const Samples plain = made(10000.0, 1.0, shape, 0.005, 4);
  Samples scaled = plain;
  for (double& x : scaled.value) x *= 7.0;
  Samples raised = plain;
  for (double& x : raised.value) x += 3.0;
  const Samples later = made(
      10000.0, 1.0, [&](double t) { return shape(t + 0.0123); }, 0.005, 4);

  const ToneAnalysis a = analyse_tones(plain.window(), {});
  const ToneAnalysis b = analyse_tones(scaled.window(), {});
  const ToneAnalysis c = analyse_tones(raised.window(), {});
  const ToneAnalysis d = analyse_tones(later.window(), {});
  REQUIRE(a.series.size() == 2);
  for (const ToneAnalysis* other : {&b, &c, &d}) {
    REQUIRE(other->series.size() == a.series.size());
    for (std::size_t s = 0; s < a.series.size(); ++s) {
      REQUIRE(other->series[s].tones.size() == a.series[s].tones.size());
    }
  }
  CHECK(c.mean == Approx(a.mean + 3.0));
  for (std::size_t s = 0; s < a.series.size(); ++s) {
    for (std::size_t t = 0; t < a.series[s].tones.size(); ++t) {
      const Tone& tone = a.series[s].tones[t];
      CHECK(b.series[s].tones[t].hz == Approx(tone.hz).epsilon(1e-9));
      CHECK(b.series[s].tones[t].amplitude == Approx(7.0 * tone.amplitude).epsilon(1e-7));
      CHECK(c.series[s].tones[t].amplitude == Approx(tone.amplitude).epsilon(1e-6));
      CHECK(d.series[s].tones[t].amplitude == Approx(tone.amplitude).margin(0.0004));
      const double turned =
          d.series[s].tones[t].phase_rad - tone.phase_rad - signals::two_pi * tone.hz * 0.0123;
      CHECK(std::abs(std::remainder(turned, signals::two_pi)) < 0.03);
    }
  }
}

TEST_CASE("the tones do not depend on whether even times are spelled out") {
  const Samples even = made(5000.0, 1.0, signals::rectified(50.02, 0.3), 0.003);
  Samples spelled = even;
  for (std::size_t i = 0; i < even.value.size(); ++i) spelled.time_s.push_back(even.time_at(i));
  const ToneAnalysis a = analyse_tones(even.window(), {});
  const ToneAnalysis b = analyse_tones(spelled.window(), {});
  REQUIRE(a.series.size() == 1);
  REQUIRE(b.series.size() == 1);
  CHECK(b.series[0].fundamental_hz == Approx(a.series[0].fundamental_hz).margin(2e-5));
  for (int order = 2; order <= 10; order += 2) {
    CHECK(amplitude_of_order(b.series[0], order) ==
          Approx(amplitude_of_order(a.series[0], order)).margin(1e-5));
  }
}

TEST_CASE("jittered, gapped, repeated and coarsely quantised samples give the right tones") {
  std::mt19937 random(3);
  std::uniform_real_distribution<double> part(0.0, 1.0);
  lampbeat::test::Coverage amplitudes, frequencies;
  for (unsigned trial = 0; trial < 25; ++trial) {
    const double mains = trial % 2 == 0 ? 49.8 + 0.4 * part(random) : 59.8 + 0.4 * part(random);
    const double amplitude = 0.02 + 0.2 * part(random);
    Samples s = signals::jittered_times(900.0 + 5000.0 * part(random), 1.2, 0.3, trial);
    const double gap = 0.2 + 0.4 * part(random);
    std::vector<double> times;
    for (const double t : s.time_s) {
      if (t > gap && t < gap + 0.1) continue;
      times.push_back(t);
      if (part(random) < 0.02) times.push_back(t);
    }
    s.time_s = times;
    s.value.assign(times.size(), 0.0);
    signals::fill(s, sum_of(0.5, {{2 * mains, amplitude, 6.0 * part(random)},
                                  {4 * mains, amplitude / 4, 6.0 * part(random)}}));
    signals::add_noise(s, 0.003, trial);
    signals::quantise(s, 1.0, 10);
    const ToneAnalysis analysis = analyse_tones(s.window(), {});
    REQUIRE(analysis.series.size() == 1);
    REQUIRE(analysis.series[0].tones.size() == 2);
    const Tone& tone = analysis.series[0].tones[0];
    CHECK(std::abs(tone.amplitude - amplitude) < 4.5 * tone.amplitude_sd);
    CHECK(std::abs(tone.hz - 2 * mains) < 4.5 * tone.hz_sd);
    amplitudes.take(tone.amplitude - amplitude, tone.amplitude_sd);
    frequencies.take(tone.hz - 2 * mains, tone.hz_sd);
  }
  CHECK(amplitudes.stated_over_actual() < 2.0);
  CHECK(frequencies.stated_over_actual() < 2.0);
}

TEST_CASE("following keeps the tones and tells a changed light by its noise") {
  const auto shape = [](double t) {
    return (1.0 + 0.2 * std::cos(signals::two_pi * 100.04 * t)) *
           (1.0 + 0.3 * std::cos(signals::two_pi * 481.3 * t));
  };
  const Samples first = made(20000.0, 1.0, shape, 0.005, 1);
  const Samples second = made(
      20000.0, 1.0, [&](double t) { return shape(t + 1.0); }, 0.005, 2);
  const ToneAnalysis known = analyse_tones(first.window(), {});
  REQUIRE(series_of(known, SeriesKind::sideband) != nullptr);
  const ToneAnalysis next = follow_tones(second.window(), known);
  REQUIRE(next.series.size() == known.series.size());
  CHECK(next.noise_sd == Approx(0.005).epsilon(0.03));
  for (std::size_t s = 0; s < known.series.size(); ++s) {
    CHECK(next.series[s].kind == known.series[s].kind);
    for (std::size_t t = 0; t < known.series[s].tones.size(); ++t) {
      CHECK(next.series[s].tones[t].amplitude ==
            Approx(known.series[s].tones[t].amplitude).margin(0.0004));
    }
  }
  const Samples other =
      made(20000.0, 1.0, sum_of(1.0, {{100.04, 0.2, 0.0}, {700.0, 0.1, 0.0}}), 0.005, 3);
  CHECK(follow_tones(other.window(), known).noise_sd > 0.05);
}

TEST_CASE("the model retraces the samples") {
  const Samples s = made(5000.0, 1.0, signals::rectified(60.02, 0.3));
  const ToneAnalysis analysis = analyse_tones(s.window(), {});
  double squares = 0.0;
  for (std::size_t i = 0; i < s.value.size(); ++i) {
    squares += std::pow(s.value[i] - model_at(analysis, s.time_at(i)), 2);
  }
  CHECK(std::sqrt(squares / 5000.0) == Approx(analysis.noise_sd).epsilon(0.05));
}

TEST_CASE("too little to analyse gives the mean, bad samples are refused") {
  Samples few = made(1000.0, 0.010, sum_of(2.0, {}));
  CHECK(analyse_tones(few.window(), {}).mean == Approx(2.0));
  CHECK(analyse_tones(few.window(), {}).series.empty());
  CHECK(analyse_tones(Window{}, {}).mean == 0.0);
  for (std::size_t n = 16; n < 80; n += 3) {
    Samples s = made(1000.0, static_cast<double>(n) / 1000.0, sum_of(1.0, {{130.0, 0.3, 0.0}}),
                     0.01, static_cast<unsigned>(n));
    CHECK(std::isfinite(analyse_tones(s.window(), {}).noise_sd));
  }
  Samples dark = made(1000.0, 1.0, sum_of(0.0, {}));
  CHECK(analyse_tones(dark.window(), {}).series.empty());
  Samples standing;  // every sample at the same time
  standing.value.assign(100, 1.0);
  standing.time_s.assign(100, 0.0);
  standing.interval_s = 0.001;
  CHECK(std::isfinite(analyse_tones(standing.window(), {}).mean));
  few = made(1000.0, 0.1, sum_of(2.0, {}));
  few.value[17] = std::nan("");
  CHECK_THROWS_AS(analyse_tones(few.window(), {}), UsageError);
}
