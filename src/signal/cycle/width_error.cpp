#include "signal/cycle/width_error.hpp"

#include <algorithm>
#include <cmath>

namespace lampbeat::signal::cycle {
namespace {

/// Standard deviations from which a fall is one.
constexpr double fall_sds_at_least = 3.0;
/// Falls that grow faster leave a level top for a slope, slower ones a pulse for its surroundings:
/// they tell no power.
constexpr double fastest_power = 2.6;
constexpr double slowest_power = 0.6;
constexpr double slow_play = 0.3;
/// Powers in between are of curves that are neither straight nor round as far as the boxes reach.
constexpr double power_play = 0.06;
constexpr double any_power = 1.5;
constexpr double any_power_play = 0.5;
/// A power read at one width holds for boxes at most this many halvings narrower.
constexpr std::size_t most_halvings = 3;
/// The falls between must be what it says, to so much of themselves and so many of their noise.
constexpr double follows_share = 0.4;
constexpr double follows_sds = 4.0;
/// Of several tellings the two surest count.
constexpr std::size_t tellings_used = 2;

struct Power {
  double value = any_power;
  double play = any_power_play;
};

bool falls(const BoxReading& box) { return box.fall > fall_sds_at_least * box.fall_sd; }

/// Of the fall at box i, by the next one.
Power power_at(const std::vector<BoxReading>& boxes, std::size_t i) {
  if (i + 2 >= boxes.size() || !falls(boxes[i + 1])) return {};
  const double growth = std::log2(boxes[i + 1].fall / boxes[i].fall);
  if (growth > fastest_power) return {};
  if (growth < 0.0) return {};
  if (growth < slowest_power) return {1.0, slow_play};
  const double noise =
      std::hypot(boxes[i].fall_sd / boxes[i].fall, boxes[i + 1].fall_sd / boxes[i + 1].fall) /
      std::log(2.0);
  return {std::clamp(growth, 1.0, 2.0), std::min(any_power_play, std::hypot(noise, power_play))};
}

struct Telling {
  double error = 0.0;
  double relative_sd = 0.0;
  double power = 0.0;
};

/// What the fall at box i says of the narrower box j; nothing where the falls between say
/// otherwise.
std::optional<Telling> told(const std::vector<BoxReading>& boxes, std::size_t i, std::size_t j,
                            const Power& power) {
  for (std::size_t between = j; between < i; ++between) {
    const double expected =
        boxes[i].fall * std::exp2(-power.value * static_cast<double>(i - between));
    const double allowed = follows_sds * boxes[between].fall_sd + follows_share * expected;
    if (std::abs(boxes[between].fall - expected) > allowed) return std::nullopt;
  }
  const double grown = std::exp2(power.value);
  const auto halvings = static_cast<double>(i - j);
  const double error = boxes[i].fall / (grown - 1.0) * std::exp2(-power.value * halvings);
  // d ln(error)/dq = −ln 2 · (2^q/(2^q − 1) + halvings)
  const double by_power = std::exp2(power.play * (grown / (grown - 1.0) + halvings)) - 1.0;
  return Telling{error, std::hypot(boxes[i].fall_sd / boxes[i].fall, by_power), power.value};
}

WidthError joined(std::vector<Telling> tellings, double unseen) {
  if (tellings.empty()) return {0.0, unseen, 0.0};
  std::sort(tellings.begin(), tellings.end(),
            [](const Telling& a, const Telling& b) { return a.relative_sd < b.relative_sd; });
  if (tellings.size() > tellings_used) tellings.resize(tellings_used);
  WidthError all;
  double weights = 0.0;
  for (const Telling& t : tellings) {
    const double weight = 1.0 / (t.relative_sd * t.relative_sd);
    weights += weight;
    all.value += weight * t.error;
    all.power += weight * t.power;
  }
  all.value /= weights;
  all.power /= weights;
  all.sd = std::hypot(tellings.front().relative_sd * all.value,
                      (tellings.front().error - tellings.back().error) / 2.0);
  return all;
}

}  // namespace

std::vector<WidthError> width_errors(const std::vector<BoxReading>& boxes) {
  if (boxes.size() < 2) return {};
  std::vector<std::vector<Telling>> tellings(boxes.size() - 1);
  for (std::size_t i = 0; i + 1 < boxes.size(); ++i) {
    if (!falls(boxes[i])) continue;
    const Power power = power_at(boxes, i);
    for (std::size_t j = i - std::min(i, most_halvings); j <= i; ++j) {
      if (const auto t = told(boxes, i, j, power)) tellings[j].push_back(*t);
    }
  }
  std::vector<WidthError> errors;
  for (std::size_t j = 0; j < tellings.size(); ++j) {
    errors.push_back(joined(std::move(tellings[j]), boxes[j].fall_sd));
  }
  return errors;
}

}  // namespace lampbeat::signal::cycle
