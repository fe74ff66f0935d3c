#include "signal/clipping.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace lampbeat {

namespace {

/// A crest of a sine leaves about as many samples just below its top as on it; a flat cut leaves
/// several times more on it.
constexpr double flat_to_near = 2.5;
constexpr double fewest_share = 0.002;
constexpr double fewest_steps = 8.0;

/// A signal that runs into a rail crosses the last stretch before it at a steady pace, so it spends
/// as long in the outer half of that stretch as in the inner one. One that settles there by itself
/// (the slow edge of a pulse) lingers in the inner half.
bool runs_into(std::span<const double> raw, double extreme, double range, double step) {
  constexpr double stretch = 0.05;
  constexpr double most_inner_to_outer = 2.0;
  const double half = std::max(stretch / 2.0 * range, 1.5 * step);
  std::uint64_t inner = 0;
  std::uint64_t outer = 0;
  for (const double x : raw) {
    const double away = std::abs(x - extreme);
    if (away <= 0.25 * step) continue;
    if (away <= half) {
      ++inner;
    } else if (away <= 2.0 * half) {
      ++outer;
    }
  }
  return static_cast<double>(inner) <= most_inner_to_outer * static_cast<double>(outer);
}

std::uint64_t at_known_rail(std::span<const double> raw, double rail, double step, bool upper) {
  const double edge = upper ? rail - 0.01 * step : rail + 0.01 * step;
  std::uint64_t clipped = 0;
  std::size_t run = 0;
  const auto close = [&] {
    if (run >= 2) clipped += run;
    run = 0;
  };
  for (const double x : raw) {
    if (upper ? x >= edge : x <= edge) {
      ++run;
    } else {
      close();
    }
  }
  close();
  return clipped;
}

std::uint64_t at_unknown_rail(std::span<const double> raw, double extreme, double range,
                              double step) {
  // A steady light flickers between two or three codes; that is no crest to cut.
  if (range < fewest_steps * step) return 0;
  const double band = std::max(0.01 * range, 2.5 * step);
  std::uint64_t flat = 0;
  std::uint64_t near = 0;
  for (const double x : raw) {
    const double away = std::abs(x - extreme);
    if (away <= 0.25 * step) {
      ++flat;
    } else if (away <= band) {
      ++near;
    }
  }
  const auto n = static_cast<double>(raw.size());
  const bool enough = static_cast<double>(flat) >= std::max(8.0, fewest_share * n);
  // No approach at all is a square wave; only rounding noise is no approach either.
  const bool approached =
      static_cast<double>(near) >= std::max(4.0, 0.02 * static_cast<double>(flat));
  return enough && approached &&
                 static_cast<double>(flat) > flat_to_near * static_cast<double>(near) &&
                 runs_into(raw, extreme, range, step)
             ? flat
             : 0;
}

}  // namespace

Clipping find_clipping(std::span<const double> raw, const Rails& rails) {
  Clipping found;
  if (raw.size() < 16) return found;
  const auto [lowest, highest] = std::minmax_element(raw.begin(), raw.end());
  const double range = *highest - *lowest;
  if (rails.high && *highest >= *rails.high - 0.01 * rails.step) {
    found.high = at_known_rail(raw, *rails.high, rails.step, true);
  } else if (range > 0.0) {
    found.high = at_unknown_rail(raw, *highest, range, rails.step);
  }
  const bool dark_gap = std::abs(*lowest - rails.dark) <= 0.01 * range;
  if (rails.low && *lowest <= *rails.low + 0.01 * rails.step) {
    found.low = at_known_rail(raw, *rails.low, rails.step, false);
  } else if (range > 0.0 && !dark_gap) {
    found.low = at_unknown_rail(raw, *lowest, range, rails.step);
  }
  return found;
}

}  // namespace lampbeat
