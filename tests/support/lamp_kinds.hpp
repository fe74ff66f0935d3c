#pragma once

// Kinds of light as shops sell them, each drawn at random with the figures of its shape: what a ±
// has to hold over.

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "support/draws.hpp"

namespace lamp_kinds {

using lampbeat::test::between;
using lampbeat::test::logarithmic;
using lampbeat::test::often;
using lampbeat::test::Random;

inline constexpr double two_pi = 6.283185307179586;

/// A light over time, and what a perfect meter would say of it.
struct Drawn {
  std::function<double(double)> at;
  double percent_flicker = 0.0;  ///< CIE e-ILV, amplitude of fluctuation
  double flicker_index = 0.0;    ///< ANSI/IES LS-1, 5.9.9.4
  double hz = 0.0;               ///< of the strongest tone
  double slowest_hz = 0.0;       ///< of its rhythms: what five cycles are counted of
  double fastest_hz = 0.0;       ///< what samples a cycle are counted of
};

/// What surrounds the light: the capture's length decides how a wandering clock is averaged.
struct Frame {
  double rate_hz = 0.0;
  double seconds = 0.0;
};

using Draw = std::function<Drawn(Random&, const Frame&)>;

struct Kind {
  const char* name;
  Draw draw;
};

namespace detail {

inline double begun(double turns) { return turns - std::floor(turns); }

/// Figures of a set of equally long moments.
template <typename Each>
void figure(Drawn& light, const Each& each) {
  double low = HUGE_VAL;
  double high = -HUGE_VAL;
  double sum = 0.0;
  double n = 0.0;
  each([&](double x) {
    low = std::min(low, x);
    high = std::max(high, x);
    sum += x;
    n += 1.0;
  });
  const double mean = sum / n;
  double off = 0.0;
  each([&](double x) { off += std::abs(x - mean); });
  light.percent_flicker = 100.0 * (high - low) / (high + low);
  light.flicker_index = off / (2.0 * n * mean);
}

/// A light of one rhythm by the shape of its cycle; `pulses` of the strongest tone to a cycle.
inline Drawn of_shape(const std::function<double(double)>& shape, double cycle_hz, double phase,
                      double strongest_hz) {
  constexpr int moments = 40000;
  Drawn light;
  light.at = [=](double t) { return shape(begun(cycle_hz * t + phase)); };
  light.hz = strongest_hz;
  light.slowest_hz = light.fastest_hz = cycle_hz;
  figure(light, [&](const auto& see) {
    for (int i = 0; i < moments; ++i) see(shape((i + 0.5) / moments));
  });
  return light;
}

inline double mains_hz(Random& random) {
  return (random() % 2 ? 50.0 : 60.0) * (1.0 + between(random, -2e-3, 2e-3));
}

/// A light's rhythm: mostly the mains', or a driver's own, at twelve samples a cycle or more.
inline double rhythm_hz(Random& random, const Frame& frame) {
  const double fastest = frame.rate_hz / 12.0;
  if (often(random, 0.6) || fastest < 120.0) return 2.0 * mains_hz(random);
  return logarithmic(random, 60.0, fastest);
}

inline double pwm_hz(Random& random, const Frame& frame) {
  return logarithmic(random, 60.0, frame.rate_hz / 12.0);
}

inline Drawn sine(Random& random, const Frame& frame) {
  const double m = logarithmic(random, 0.02, 1.0);
  const double hz = rhythm_hz(random, frame);
  return of_shape([m](double p) { return 1.0 + m * std::sin(two_pi * p); }, hz,
                  between(random, 0, 1), hz);
}

inline Drawn raised_sine(Random& random, const Frame& frame) {
  const double power = between(random, 1.0, 4.0);
  const double pedestal = between(random, 0.0, 0.5);
  const double hz = rhythm_hz(random, frame);
  return of_shape(
      [=](double p) { return pedestal + std::pow(0.5 + 0.5 * std::sin(two_pi * p), power); }, hz,
      between(random, 0, 1), hz);
}

inline Drawn rectified(Random& random, const Frame&) {
  const double pedestal = between(random, 0.0, 0.9);
  const double hz = 2.0 * mains_hz(random);
  return of_shape([=](double p) { return pedestal + std::abs(std::sin(two_pi / 2 * p)); }, hz,
                  between(random, 0, 1), hz);
}

inline Drawn phase_cut(Random& random, const Frame&) {
  const double at = between(random, 30.0, 150.0) / 180.0;
  const double pedestal = between(random, 0.02, 0.3);
  const double hz = 2.0 * mains_hz(random);
  return of_shape([=](double p) { return pedestal + (p > at ? std::sin(two_pi / 2 * p) : 0.0); },
                  hz, between(random, 0, 1), hz);
}

inline Drawn pwm(Random& random, const Frame& frame) {
  const double duty = between(random, 0.05, 0.9);
  const double pedestal = often(random, 0.5) ? 0.0 : between(random, 0.0, 0.8);
  const double hz = pwm_hz(random, frame);
  return of_shape([=](double p) { return p < duty ? 1.0 : pedestal; }, hz, between(random, 0, 1),
                  hz);
}

/// Finer steps of brightness by lengthening every so many pulses.
inline Drawn dithered(Random& random, const Frame& frame) {
  const double duty = between(random, 0.1, 0.8);
  const double longer = between(random, 0.005, 0.05);
  const int every = 2 + static_cast<int>(random() % 4);
  const double pedestal = between(random, 0.0, 0.2);
  const double hz = pwm_hz(random, frame);
  Drawn light = of_shape(
      [=](double p) {
        const double turns = p * every;
        return begun(turns) < duty + (turns < 1.0 ? longer : 0.0) ? 1.0 : pedestal;
      },
      hz / every, between(random, 0, 1), hz);
  light.fastest_hz = hz;
  return light;
}

/// PWM by an untrimmed oscillator: each period strays by itself and all of them wander together.
inline Drawn unsteady(Random& random, const Frame& frame) {
  const double duty = between(random, 0.1, 0.85);
  const double pedestal = between(random, 0.0, 0.2);
  const double hz = pwm_hz(random, frame);
  const double spread = logarithmic(random, 0.001, 0.02);
  const double pace_hz = between(random, 0.2, 3.0);
  const double shivers = between(random, 0.0, 1.0);  // part of the spread that is each period's own
  std::normal_distribution<double> normal;
  auto start = std::make_shared<std::vector<double>>();
  const double phase = between(random, 0, two_pi);
  double t = -between(random, 0.0, 1.0) / hz;
  while (t < frame.seconds + 2.0 / hz) {
    start->push_back(t);
    const double off = spread * (shivers * normal(random) +
                                 (1.0 - shivers) * std::sin(two_pi * pace_hz * t + phase));
    t += (1.0 + off) / hz;
  }
  Drawn light;
  light.at = [=](double now) {
    const auto next = std::upper_bound(start->begin(), start->end(), now);
    if (next == start->begin() || next == start->end()) return pedestal;
    const double from = *std::prev(next);
    return (now - from) / (*next - from) < duty ? 1.0 : pedestal;
  };
  const double mean = duty + (1.0 - duty) * pedestal;
  light.percent_flicker = 100.0 * (1.0 - pedestal) / (1.0 + pedestal);
  light.flicker_index = duty * (1.0 - mean) / mean;
  // Whole turns and what is begun of them, over the capture.
  const auto turns = [&](double now) {
    const auto next = std::upper_bound(start->begin(), start->end(), now);
    const double from = *std::prev(next);
    return static_cast<double>(next - start->begin()) + (now - from) / (*next - from);
  };
  light.hz = (turns(frame.seconds) - turns(0.0)) / frame.seconds;
  light.slowest_hz = light.fastest_hz = hz;
  return light;
}

/// A phosphor's or a capacitor's decay after each half wave's charge.
inline Drawn decaying(Random& random, const Frame&) {
  const double pedestal = between(random, 0.02, 0.3);
  const double lasts = logarithmic(random, 0.1, 1.0);
  const double hz = 2.0 * mains_hz(random);
  return of_shape([=](double p) { return pedestal + std::exp(-p / lasts); }, hz,
                  between(random, 0, 1), hz);
}

inline Drawn uneven_tube(Random& random, const Frame&) {
  const double pedestal = between(random, 0.05, 0.5);
  const double weaker = between(random, 0.6, 0.97);
  const double mains = mains_hz(random);
  return of_shape(
      [=](double p) {
        return pedestal + (p < 0.5 ? 1.0 : weaker) * std::abs(std::sin(two_pi * p));
      },
      mains, between(random, 0, 1), 2.0 * mains);
}

/// A moment of a cycle, and for how much of the cycle it stands.
struct Moment {
  double phase = 0.0;
  double share = 0.0;
};

/// Of a cycle that is smooth but for a jump at `jump` of it. A sine's crests are among them.
inline std::vector<Moment> moments(double jump) {
  constexpr int each = 200;
  std::vector<Moment> all = {{0.25, 0.0}, {0.75, 0.0}};
  for (const auto& [from, to] : {std::pair(0.0, jump), std::pair(jump, 1.0)}) {
    const double share = (to - from) / each;
    for (int i = 0; i < each; ++i) all.push_back({from + (i + 0.5) * share, share});
  }
  return all;
}

/// Two rhythms with nothing to do with each other, by both their phases; each jumps there.
inline Drawn of_two(const std::function<double(double, double)>& shape, double one_hz,
                    double other_hz, double one_jumps, double other_jumps, Random& random) {
  const double one = between(random, 0, 1);
  const double other = between(random, 0, 1);
  Drawn light;
  light.at = [=](double t) { return shape(begun(one_hz * t + one), begun(other_hz * t + other)); };
  light.slowest_hz = std::min(one_hz, other_hz);
  light.fastest_hz = std::max(one_hz, other_hz);
  double low = HUGE_VAL;
  double high = -HUGE_VAL;
  double mean = 0.0;
  const std::vector<Moment> first = moments(one_jumps);
  const std::vector<Moment> second = moments(other_jumps);
  const auto each = [&](const auto& see) {
    for (const Moment& p : first) {
      for (const Moment& q : second) see(shape(p.phase, q.phase), p.share * q.share);
    }
  };
  each([&](double x, double share) {
    low = std::min(low, x);
    high = std::max(high, x);
    mean += share * x;
  });
  double off = 0.0;
  each([&](double x, double share) { off += share * std::abs(x - mean); });
  light.percent_flicker = 100.0 * (high - low) / (high + low);
  light.flicker_index = off / (2.0 * mean);
  return light;
}

inline Drawn chopped_ripple(Random& random, const Frame& frame) {
  const double duty = between(random, 0.15, 0.85);
  const double depth = between(random, 0.02, 0.3);
  const double pedestal = between(random, 0.0, 0.2);
  const double pwm = logarithmic(random, 300.0, std::max(310.0, frame.rate_hz / 12.0));
  const double ripple = 2.0 * mains_hz(random);
  Drawn light = of_two(
      [=](double p, double r) {
        return pedestal + (p < duty ? 1.0 + depth * std::sin(two_pi * r) : 0.0);
      },
      pwm, ripple, duty, 0.5, random);
  light.hz = pwm;
  return light;
}

/// Two lamps on clocks that are nearly the same.
inline Drawn two_lamps(Random& random, const Frame& frame) {
  const double strong = between(random, 0.1, 0.45);
  const double weak = strong * between(random, 0.2, 0.8);
  const bool pulses = often(random, 0.5);
  const double duty = between(random, 0.2, 0.8);
  const double hz = rhythm_hz(random, frame);
  const double other = hz + (random() % 2 ? 1 : -1) * between(random, 0.5, 3.0);
  Drawn light = of_two(
      [=](double p, double q) {
        const double second = pulses ? (q < duty ? 1.0 : -1.0) : std::sin(two_pi * q);
        return 1.0 + strong * std::sin(two_pi * p) + weak * second;
      },
      hz, other, 0.5, duty, random);
  // A square wave's fundamental is up to 4/π of its swing.
  const double second = pulses ? weak * 4.0 / two_pi * 2.0 * std::sin(two_pi / 2 * duty) : weak;
  light.hz = second > strong ? other : hz;
  return light;
}

/// Mains that strays by some 20 mHz while it is filmed.
inline Drawn wandering_mains(Random& random, const Frame& frame) {
  const double pedestal = between(random, 0.05, 0.6);
  const double mains = mains_hz(random);
  const double wander_hz = between(random, 0.005, 0.02);
  const double pace_hz = between(random, 0.5, 2.0) / 60.0;
  const double start = between(random, 0, two_pi);
  const double phase = between(random, 0, 1);
  const auto turns = [=](double t) {
    return mains * t + wander_hz / (two_pi * pace_hz) * std::sin(two_pi * pace_hz * t + start);
  };
  const auto shape = [=](double p) { return pedestal + std::abs(std::sin(two_pi / 2 * p)); };
  Drawn light = of_shape(shape, 2.0 * mains, 0.0, 2.0 * mains);
  light.at = [=](double t) { return shape(begun(2.0 * turns(t) + phase)); };
  light.hz = 2.0 * (turns(frame.seconds) - turns(0.0)) / frame.seconds;
  return light;
}

}  // namespace detail

/// Every kind but the coarse converter's, which is any of the smooth ones in few codes.
inline const std::vector<Kind>& all() {
  static const std::vector<Kind> kinds = {
      {"sine", detail::sine},
      {"raised sine", detail::raised_sine},
      {"|sin| of the mains", detail::rectified},
      {"phase cut, 30-150 degrees", detail::phase_cut},
      {"PWM, duty 0.05-0.9", detail::pwm},
      {"dithered PWM", detail::dithered},
      {"PWM, clock strays 0.1-2 %", detail::unsteady},
      {"decay pulses", detail::decaying},
      {"tube, uneven halves", detail::uneven_tube},
      {"chopped ripple", detail::chopped_ripple},
      {"two rhythms 0.5-3 Hz apart", detail::two_lamps},
      {"mains wandering 20 mHz", detail::wandering_mains},
  };
  return kinds;
}

inline const char* name_of(std::size_t kind) {
  return kind < all().size() ? all()[kind].name : "2 to 50 converter codes";
}

}  // namespace lamp_kinds
