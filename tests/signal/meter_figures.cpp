#include <algorithm>
#include <cmath>

#include "support/catch.hpp"
#include "support/metering.hpp"
#include "support/waveforms.hpp"

using namespace lampbeat;
using namespace metering;
using signals::Samples;
using signals::sum_of;

namespace {

const std::vector<signals::Wave> ordinary = {
    {120.03, 0.2, 0.3}, {240.06, 0.06, 1}, {360.09, 0.02, 2}};

/// By plain search over one cycle, the slow reference.
double percent_flicker_of(const std::function<double(double)>& light, double hz) {
  double low = light(0);
  double high = low;
  for (int i = 1; i < 100000; ++i) {
    const double x = light(i / 1e5 / hz);
    low = std::min(low, x);
    high = std::max(high, x);
  }
  return 100 * (high - low) / (high + low);
}

}  // namespace

TEST_CASE("Every waveform's closed-form figures come out of three seconds at 20 kHz") {
  for (const waveforms::Waveform& w : waveforms::all()) {
    CAPTURE(w.name);
    Samples s;
    s.interval_s = 1 / 20000.0;
    s.value = waveforms::sampled(w, 120.03, 0.17, 20000, 3);
    const Measurement m = measured(s);
    REQUIRE(m.percent_flicker);
    CHECK(*m.percent_flicker == Approx(w.percent_flicker).margin(0.35));
    CHECK(*m.flicker_index == Approx(w.flicker_index).margin(0.004));
    CHECK(*m.dominant_hz == Approx(120.03).margin(0.004));
    CHECK(*m.mains_hz == Approx(60.015).margin(0.002));
  }
}

TEST_CASE("Noise biases percent flicker by under 0.5 points at 20 dB and 1.5 at 10 dB") {
  const auto light = sum_of(1, ordinary);
  const double truth = percent_flicker_of(light, 120.03);
  for (const double seconds : {1.0, 3.0}) {
    for (const auto& [decibels, allowed] : {std::pair{20.0, 0.5}, std::pair{10.0, 1.5}}) {
      CAPTURE(seconds, decibels);
      double bias = 0;
      double raw = 0;
      constexpr int trials = 25;
      for (unsigned seed = 1; seed <= trials; ++seed) {
        const Measurement m =
            measured(recording(20000, seconds, light, 0.2 / std::pow(10, decibels / 20), seed));
        bias += (*m.percent_flicker - truth) / trials;
        raw += (*m.percent_flicker_raw - truth) / trials;
      }
      CHECK(std::abs(bias) < allowed);
      CHECK(raw > 5.0);  // what plain extremes would have said
    }
  }
}

TEST_CASE("Uneven times, gaps and ten bits leave the figures right") {
  Samples s = signals::jittered_times(2000, 5, 0.3, 3);
  signals::fill(s, sum_of(1, {{100.02, 0.2, 0.4}}));
  signals::add_noise(s, 0.01, 2);
  signals::quantise(s, 2, 10);
  Samples gap = s;
  gap.value.erase(gap.value.begin() + 3000, gap.value.begin() + 3500);
  gap.time_s.erase(gap.time_s.begin() + 3000, gap.time_s.begin() + 3500);
  for (const Samples& log : {s, gap}) {
    const Measurement m = measured(log);
    CHECK(warns(m, "uneven_sampling"));
    CHECK(*m.percent_flicker == Approx(20).margin(0.35));
    CHECK(*m.flicker_index == Approx(0.2 / 3.14159265).margin(0.004));
    CHECK(*m.dominant_hz == Approx(100.02).margin(0.002));
    CHECK_FALSE(m.lowpass_percent[Ja10CutOff::at_200_hz]);
  }
}

TEST_CASE("Times that repeat do not invent another rhythm worth a cycle") {
  Samples s = signals::jittered_times(2000, 5, 0.0, 3);
  signals::fill(s, sum_of(1, {{100.02, 0.2, 0.4}}));
  for (std::size_t i = 1; i < s.time_s.size(); i += 50) s.time_s[i] = s.time_s[i - 1];
  const Measurement m = measured(s);
  CHECK_FALSE(warns(m, "several_rhythms"));
  CHECK(*m.percent_flicker == Approx(20).margin(1.0));
  CHECK(*m.dominant_hz == Approx(100.02).margin(0.002));
}

TEST_CASE("Scaling a capture changes nothing but its mean") {
  const Samples s = recording(20000, 2, sum_of(1, ordinary), 0.01);
  const Measurement one = measured(s);
  for (const double factor : {1e-9, 3.7, 1e12}) {
    Samples scaled = s;
    for (double& x : scaled.value) x *= factor;
    const Measurement m = measured(scaled);
    CHECK(*m.mean == Approx(factor * *one.mean).epsilon(1e-9));
    CHECK(*m.percent_flicker == Approx(*one.percent_flicker).epsilon(1e-6));
    CHECK(*m.flicker_index == Approx(*one.flicker_index).epsilon(1e-6));
    CHECK(*m.dominant_hz == Approx(*one.dominant_hz).epsilon(1e-9));
    CHECK(*m.svm == Approx(*one.svm).epsilon(1e-6));
    CHECK(m.warnings.size() == one.warnings.size());
  }
}

TEST_CASE("A constant added to the light lowers percent flicker as its definition says") {
  const auto light = sum_of(1, ordinary);
  const Measurement bare = measured(recording(20000, 3, light, 0.001));
  for (const double added : {0.5, 3.0}) {
    const Measurement m = measured(recording(
        20000, 3, [&](double t) { return light(t) + added; }, 0.001));
    // (max − min)/(max + min + 2c), with max + min from the bare light by plain search.
    double low = 9;
    double high = 0;
    for (int i = 0; i < 100000; ++i) {
      low = std::min(low, light(i / 1e5 / 120.03));
      high = std::max(high, light(i / 1e5 / 120.03));
    }
    const double expected = *bare.percent_flicker * (high + low) / (high + low + 2 * added);
    CHECK(*m.percent_flicker == Approx(expected).margin(0.02));
  }
}

TEST_CASE("A later start turns phases and leaves everything else") {
  const auto light = sum_of(1, ordinary);
  const double later_s = 0.00123;
  const Measurement early = measured(recording(20000, 3, light, 0.0));
  const Measurement late = measured(recording(
      20000, 3, [&](double t) { return light(t + later_s); }, 0.0));
  CHECK(*late.percent_flicker == Approx(*early.percent_flicker).margin(0.01));
  CHECK(*late.flicker_index == Approx(*early.flicker_index).margin(1e-4));
  REQUIRE(late.components.size() == early.components.size());
  for (std::size_t i = 0; i < late.components.size(); ++i) {
    const double turned = late.components[i].phase_deg - early.components[i].phase_deg -
                          360 * early.components[i].hz * later_s;
    CHECK(std::remainder(turned, 360) == Approx(0).margin(0.01));
    CHECK(*late.components[i].percent == Approx(*early.components[i].percent).margin(1e-3));
  }
  CHECK(early.components[0].phase_deg == Approx(0.3 * 180 / 3.14159265).margin(0.01));
}

TEST_CASE("Splitting a capture changes nothing beyond its uncertainty") {
  const Samples whole = recording(20000, 6, sum_of(1, ordinary), 0.02);
  const Measurement m = measured(whole);
  for (const std::size_t half : {0U, 1U}) {
    Samples part = whole;
    part.value.assign(whole.value.begin() + static_cast<std::ptrdiff_t>(half * 60000),
                      whole.value.begin() + static_cast<std::ptrdiff_t>((half + 1) * 60000));
    const Measurement p = measured(part);
    CHECK(std::abs(*p.percent_flicker - *m.percent_flicker) <
          4 * std::hypot(*p.percent_flicker_sd, *m.percent_flicker_sd));
    CHECK(std::abs(*p.dominant_hz - *m.dominant_hz) <
          4 * std::hypot(*p.dominant_hz_sd, *m.dominant_hz_sd));
    // White noise leaves σ √(2 / N) on an amplitude.
    CHECK(*p.components[0].percent_sd < 2.0 * 100 * 0.02 * std::sqrt(2.0 / 60000));
    CHECK(*p.percent_flicker_sd < 0.15);
    CHECK(*p.dominant_hz_sd < 0.001);
    CHECK(std::abs(*p.components[0].percent - *m.components[0].percent) <
          4 * std::hypot(*p.components[0].percent_sd, *m.components[0].percent_sd));
  }
}

TEST_CASE("How the samples are delivered changes nothing") {
  const Samples s = recording(20000, 2.6, sum_of(1, ordinary), 0.02);
  const Measurement all = measured(s);
  const CaptureFormat format = capture_from_samples("a light", s.value, 20000)->format();
  for (const std::size_t block : {1U, 7U, 4096U}) {
    Meter meter(format, {});
    for (std::size_t i = 0; i < s.value.size(); i += block) {
      const std::size_t count = std::min(block, s.value.size() - i);
      meter.feed({std::span<const double>(s.value).subspan(i, count), {}});
    }
    const Measurement m = meter.finish({});
    CHECK(m.samples == all.samples);
    CHECK(*m.percent_flicker == *all.percent_flicker);
    CHECK(*m.dominant_hz == *all.dominant_hz);
    CHECK(*m.svm == *all.svm);
    CHECK(m.lowpass_percent == all.lowpass_percent);
    CHECK(m.components.size() == all.components.size());
  }
}

TEST_CASE("PstLM is 1 for the modulation that defines it, and only from three minutes on") {
  // The meter itself is held to the standard's tables in tests/published; here that a measurement
  // hands it the light: Pst is proportional to the modulation (IEC 61000-4-15, clause 5.7.2).
  const auto slow = [](double m) { return sum_of(1, {{8.8, m, 0}}); };
  const Measurement weak = measured(recording(500, 200, slow(0.002)));
  const Measurement strong = measured(recording(500, 200, slow(0.004)));
  REQUIRE(weak.pst_lm);
  REQUIRE(strong.pst_lm);
  CHECK(*strong.pst_lm == Approx(2 * *weak.pst_lm).epsilon(0.02));
  const double for_one = 0.002 / *weak.pst_lm;
  CHECK(*measured(recording(500, 200, slow(for_one))).pst_lm == Approx(1).epsilon(0.02));
  const Measurement early = measured(recording(500, 20, slow(0.01)));
  CHECK_FALSE(early.pst_lm);
  CHECK(warns(early, "pst_needs_180_s"));
  CHECK_FALSE(warns(measured(recording(2000, 20, sum_of(1, ordinary))), "pst_needs_180_s"));
}
