#include <algorithm>
#include <cmath>
#include <random>

#include "lampbeat/prediction.hpp"
#include "reasoning/predict_lights.hpp"
#include "support/brute_force.hpp"
#include "support/catch.hpp"

// The worst of a prediction, held against a search that integrates every row: some mains frequency
// and some clock within the tolerances record as much, and none records more.

using namespace lampbeat;
using namespace predict_lights;

namespace {

constexpr double mains_hz = 50.0;
constexpr double mains_off = 0.01;  ///< either way: EN 50160, 99.5 % of a year (second-hand)
constexpr double clock_off = 0.01;  ///< common practice, no source

/// A ripple of the mains, a dimmer with a clock of its own, or both.
struct Room {
  Light ripple;
  Light dimmer;

  Light light() const {
    Light both = ripple;
    both.mains_hz = mains_hz;
    both.components.insert(both.components.end(), dimmer.components.begin(),
                           dimmer.components.end());
    if (ripple.components.empty()) both.mains_hz.reset();
    return both;
  }
  /// Seconds in which everything has been at every phase, when one of them is alone.
  double cycle_s() const {
    const Light& slowest = ripple.components.empty() ? dimmer : ripple;
    return 1.0 / slowest.components.front().hz;
  }
  /// With each of its clocks off by so much, the dimmer `later_s` further on.
  brute_force::Waveform at(double mains, double clock, double later_s = 0.0) const {
    Light moved = ripple;
    for (LightComponent& c : moved.components) c.hz *= 1.0 + mains;
    for (LightComponent c : dimmer.components) {
      c.hz *= 1.0 + clock;
      c.phase_rad += 2.0 * std::numbers::pi * c.hz * later_s;
      moved.components.push_back(c);
    }
    return as_function(moved);
  }
};

Light scaled(Light light, double depth) {
  for (LightComponent& c : light.components) c.amplitude *= depth;
  return light;
}

/// From one end of a tolerance to the other.
std::vector<double> over(double off, int steps) {
  std::vector<double> offsets;
  for (int i = -steps; i <= steps; ++i) offsets.push_back(off * i / steps);
  return offsets;
}

struct Searched {
  double percent = 0.0;
  double offset = 0.0;
};

/// The most of a figure over one clock's offsets.
template <typename Figure>
Searched most(const std::vector<double>& offsets, Figure figure) {
  Searched best;
  for (const double offset : offsets) {
    const double percent = 100.0 * figure(offset);
    if (percent > best.percent) best = {percent, offset};
  }
  return best;
}

void check_reached_and_not_exceeded(double worst, double searched, double short_of) {
  CHECK(searched <= 1.005 * worst + 0.002);
  CHECK(worst - searched <= std::max(short_of * worst, 0.05));
}

}  // namespace

TEST_CASE("no mains within its tolerance bands more than the worst, and one bands as much") {
  std::mt19937 random(33);
  for (int i = 0; i < 6; ++i) {
    const Room room{locked_series(random, mains_hz, 1 + i % 3), {}};
    const Light light = room.light();
    const Shot shot{{25, 1}, i == 0 ? 0.01 : between(random, 0.001, 0.03), 0.016, 100};
    const Searched searched = most(over(mains_off, 10), [&](double off) {
      return brute_force::worst_banding(room.at(off, 0.0), as_camera(shot),
                                        brute_force::starts_over(room.cycle_s(), 60),
                                        pieces_for(light, shot.exposure_s));
    });
    const Prediction p = predict(std::vector<LightShare>{{light, 1.0}}, shot, {});
    INFO("case " << i << ", exposure " << shot.exposure_s << ", at " << searched.offset);
    check_reached_and_not_exceeded(p.worst.band_percent, searched.percent, 0.02);
    CHECK(std::abs(p.worst.mains_hz.value() / mains_hz - 1.0) <= mains_off + 1e-12);
    CHECK(p.worst.clock_percent == 0.0);
  }
}

TEST_CASE("no offset of a dimmer's clock bands more than the worst, and one bands as much") {
  std::mt19937 random(34);
  for (int i = 0; i < 4; ++i) {
    const Room room{{}, series(random, logarithmic(random, 150.0, 900.0), 1 + i % 3)};
    const Light light = room.light();
    const Shot shot{{25, 1}, between(random, 0.001, 0.02), 0.016, 40};
    const Searched searched = most(over(clock_off, 15), [&](double off) {
      return brute_force::worst_banding(room.at(0.0, off), as_camera(shot),
                                        brute_force::starts_over(room.cycle_s(), 36),
                                        pieces_for(light, shot.exposure_s));
    });
    const Prediction p = predict(std::vector<LightShare>{{light, 1.0}}, shot, {});
    INFO("case " << i << ", exposure " << shot.exposure_s << ", at " << searched.offset);
    check_reached_and_not_exceeded(p.worst.band_percent, searched.percent, 0.02);
    CHECK(std::abs(p.worst.clock_percent) <= 100.0 * clock_off + 1e-9);
  }
}

TEST_CASE("mains and a dimmer's clock off together band no more than the worst, and as much") {
  std::mt19937 random(35);
  constexpr int alignments = 16;
  for (int i = 0; i < 3; ++i) {
    const Room room{scaled(locked_series(random, mains_hz, 2), 0.5),
                    scaled(series(random, between(random, 150.0, 700.0), 1 + i % 2), 0.5)};
    const Light light = room.light();
    const Shot shot{{25, 1}, between(random, 0.001, 0.015), 0.016, 30};
    const auto bands = [&](const Room& part, double mains, double clock, int shifts) {
      double highest = 0.0;
      for (int k = 0; k < shifts; ++k) {
        const double later_s = k / (shifts * room.dimmer.components.front().hz);
        highest = std::max(
            highest, brute_force::worst_banding(part.at(mains, clock, later_s), as_camera(shot),
                                                brute_force::starts_over(part.cycle_s(), 24),
                                                pieces_for(light, shot.exposure_s)));
      }
      return highest;
    };
    // Independent rhythms add: each is worst where it is worst alone. Beside that pair, pairs at
    // random, which may not be worse.
    const Searched mains = most(over(mains_off, 8), [&](double off) {
      return bands({room.ripple, {}}, off, 0.0, 1);
    });
    const Searched clock = most(over(clock_off, 12), [&](double off) {
      return bands({{}, room.dimmer}, 0.0, off, 1);
    });
    double searched = 100.0 * bands(room, mains.offset, clock.offset, alignments);
    for (int k = 0; k < 5; ++k) {
      searched =
          std::max(searched, 100.0 * bands(room, between(random, -mains_off, mains_off),
                                           between(random, -clock_off, clock_off), alignments));
    }
    const Prediction p = predict(std::vector<LightShare>{{light, 1.0}}, shot, {});
    INFO("case " << i << ", exposure " << shot.exposure_s << ", at " << mains.offset << " and "
                 << clock.offset);
    check_reached_and_not_exceeded(p.worst.band_percent, searched, 0.04);
  }
}

TEST_CASE("no mains or clock within tolerance pulses more than the worst, and one as much") {
  std::mt19937 random(36);
  for (int i = 0; i < 8; ++i) {
    const bool locked = i % 2 == 0;
    const Room room = locked ? Room{locked_series(random, mains_hz, 1 + i % 3), {}}
                             : Room{{}, series(random, between(random, 150.0, 700.0), 1 + i % 3)};
    const Light light = room.light();
    const FrameRate fps = frame_rates[static_cast<std::size_t>(i) % std::size(frame_rates)];
    const Shot shot{fps, std::min(between(random, 0.001, 0.01), fps.frame_s()), 0.0, 1};
    const Searched searched = most(over(0.01, 10), [&](double off) {
      return brute_force::worst_pulsing(room.at(off, off), as_camera(shot),
                                        brute_force::starts_over(room.cycle_s(), 24), 100,
                                        pieces_for(light, shot.exposure_s));
    });
    const Prediction p = predict(std::vector<LightShare>{{light, 1.0}}, shot, {});
    INFO("case " << i << ", exposure " << shot.exposure_s << ", at " << searched.offset);
    check_reached_and_not_exceeded(p.worst.pulse_percent, searched.percent, 0.03);
  }
}
