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
/// And where the widest box that tells it is a large part of the cycle, by the square of that part,
/// as a curve's next bend grows: over half a cycle a sine falls by a power of 1.8, and one with a
/// second harmonic by 1.5 where its crest is as round.
constexpr double power_play_of_a_cycle = 2.0;
constexpr double any_power = 1.5;
constexpr double any_power_play = 0.5;
/// Beside an edge, from box to box of twice the width, the fall of a slope doubles and that of a
/// bend quadruples; a third part, which the two leave out, plays.
constexpr double of_a_slope = 2.0;
constexpr double of_a_bend = 4.0;
constexpr double slowest_growth = 1.5;
constexpr double slow_growth_play = 0.5;
constexpr double growth_play = 0.1;
constexpr double any_growth_play = 1.0;
/// Of its last growth the next, where a power goes on.
constexpr double goes_on = 0.85;
constexpr double bends_sds = 2.0;
/// Of the way to the sharper crest that a power would make of it.
constexpr double ripple_play = 0.15;
/// A power read at one width holds for boxes at most this many halvings narrower.
constexpr std::size_t most_halvings = 3;
/// The falls between must be what it says, to so much of themselves and so many of their noise.
constexpr double follows_share = 0.4;
constexpr double follows_sds = 4.0;
/// Of several tellings the two surest count.
constexpr std::size_t tellings_used = 2;

/// What a box of width w lacks of the extreme it lies at: c·w^q on a crest or a cusp; beside an
/// edge a·w + b·w², the light's slope there and its bend, b < 0 of a decay's beginning. In terms of
/// what the falls show, all at this w; `play` widens the growth that told it.
struct Loss {
  double slope = 0.0;  ///< a·w
  double bend = 0.0;   ///< b·w²
  double crest = 0.0;  ///< c·w^q
  double q = 2.0;

  Loss halved(std::size_t times) const {
    const auto by = -static_cast<double>(times);
    return {slope * std::exp2(by), bend * std::exp2(2.0 * by), crest * std::exp2(q * by), q};
  }
  double all() const { return slope + bend + crest; }
  double fall() const { return slope + 3.0 * bend + (std::exp2(q) - 1.0) * crest; }
};

double power_of(const Loss& loss) {
  return std::log2(loss.halved(0).fall() / loss.halved(1).fall());
}

/// By the falls from w to 2w and on to 4w, of which the second is `growth` times the first.
Loss beside_edge(double fall, double growth) {
  return {fall * (2.0 - growth / 2.0), fall * (growth - 2.0) / 6.0, 0.0, 2.0};
}

Loss of_power(double fall, double q) { return {0.0, 0.0, fall / (std::exp2(q) - 1.0), q}; }

bool falls(const BoxReading& box) { return box.fall > fall_sds_at_least * box.fall_sd; }

/// What the fall at box i says by the next one, and what it says with all its play.
struct Law {
  Loss loss;
  Loss played;
};

Law law_of_power(double fall, double q, double play) {
  return {of_power(fall, q), of_power(fall, q - play)};
}

Law law_beside_edge(double fall, double growth, double play) {
  return {beside_edge(fall, growth), beside_edge(fall, growth - play)};
}

/// A round crest whose next bend the boxes reach: c·w² − d·w⁴, as of ripple that is not much slower
/// than they are wide. A power would be taken for that of a sharper crest.
Law law_of_ripple(double fall, double growth) {
  const double next = (12.0 - 3.0 * growth) / (240.0 - 15.0 * growth);
  const double crest = fall * (1.0 - next) / (3.0 - 15.0 * next);
  const double sharper = of_power(fall, std::log2(growth)).crest;
  return {{0.0, 0.0, crest, 2.0}, {0.0, 0.0, crest + ripple_play * (sharper - crest), 2.0}};
}

/// Whether falls grow ever slower with the width. Those of a power go on as they began.
bool bends_away(const std::vector<BoxReading>& boxes, std::size_t i, double growth, double noise) {
  if (i + 3 >= boxes.size() || !(growth < of_a_bend)) return false;
  const double next = boxes[i + 2].fall / boxes[i + 1].fall;
  const double next_noise = boxes[i + 2].fall_sd / boxes[i + 1].fall;
  return next < goes_on * growth - bends_sds * std::hypot(next_noise, growth * noise);
}

Law law_at(const std::vector<BoxReading>& boxes, std::size_t i, std::size_t cells) {
  const double fall = boxes[i].fall;
  const Law any = law_of_power(fall, any_power, any_power_play);
  if (i + 2 >= boxes.size() || !falls(boxes[i + 1])) return any;
  const double growth = boxes[i + 1].fall / fall;
  const double power = std::log2(growth);
  if (!(growth >= 1.0) || power > fastest_power) return any;
  const double noise =
      std::hypot(boxes[i].fall_sd / fall, boxes[i + 1].fall_sd / boxes[i + 1].fall);
  if (boxes[i].beside_edge && boxes[i + 1].beside_edge) {
    if (growth < slowest_growth) return law_beside_edge(fall, of_a_slope, slow_growth_play);
    return law_beside_edge(fall, std::min(growth, of_a_bend),
                           std::min(any_growth_play, std::hypot(growth * noise, growth_play)));
  }
  if (power < slowest_power) return law_of_power(fall, 1.0, slow_play);
  if (bends_away(boxes, i, growth, noise)) return law_of_ripple(fall, growth);
  // The two falls reach over four times the width.
  const double reach = 4.0 * static_cast<double>(boxes[i].width) / static_cast<double>(cells);
  const double shape = std::max(power_play, power_play_of_a_cycle * reach * reach);
  const double play = std::hypot(noise / std::log(2.0), shape);
  return law_of_power(fall, std::clamp(power, 1.0, 2.0), std::min(any_power_play, play));
}

struct Telling {
  double error = 0.0;
  double relative_sd = 0.0;
  double power = 0.0;
};

/// What the fall at box i says of the narrower box j; nothing where the falls between say
/// otherwise.
std::optional<Telling> told(const std::vector<BoxReading>& boxes, std::size_t i, std::size_t j,
                            const Law& law) {
  for (std::size_t between = j; between < i; ++between) {
    const double expected = law.loss.halved(i - between).fall();
    const double allowed = follows_sds * boxes[between].fall_sd + follows_share * expected;
    if (std::abs(boxes[between].fall - expected) > allowed) return std::nullopt;
  }
  const Loss here = law.loss.halved(i - j);
  const double played = law.played.halved(i - j).all() / here.all() - 1.0;
  return Telling{here.all(), std::hypot(boxes[i].fall_sd / boxes[i].fall, played), power_of(here)};
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

std::vector<WidthError> width_errors(const std::vector<BoxReading>& boxes, std::size_t cells) {
  if (boxes.size() < 2) return {};
  std::vector<std::vector<Telling>> tellings(boxes.size() - 1);
  for (std::size_t i = 0; i + 1 < boxes.size(); ++i) {
    if (!falls(boxes[i])) continue;
    const Law law = law_at(boxes, i, cells);
    for (std::size_t j = i - std::min(i, most_halvings); j <= i; ++j) {
      if (const auto t = told(boxes, i, j, law)) tellings[j].push_back(*t);
    }
  }
  std::vector<WidthError> errors;
  for (std::size_t j = 0; j < tellings.size(); ++j) {
    errors.push_back(joined(std::move(tellings[j]), boxes[j].fall_sd));
  }
  return errors;
}

}  // namespace lampbeat::signal::cycle
