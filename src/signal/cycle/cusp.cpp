#include "signal/cycle/cusp.hpp"

#include <algorithm>
#include <cmath>

namespace lampbeat::signal::cycle {
namespace {

/// Over a quarter of the cycle a rectified sine's flanks are bent all but as much as a round
/// crest's (rms 2.2 % of their rise against 2.8 % of a sine's, wherever the cells lie); up to here
/// by 1.5 % against 3.7 %, and `most_bend` lies between. On a torus, whose cells are fewer, the
/// flanks of any crest look straight already over `widest_reach`.
constexpr double widest_flank = 0.21;
/// Flanks are straight within the noise, to one standard deviation of its chi-squared sum, or bent
/// by no more than this fraction of what meets at the tip.
constexpr double straight_sds = 1.0;
constexpr double most_bend = 0.02;
/// A crest is a cusp when the noise does not explain a parabola's misfit, and a tip is one when it
/// rises out of the noise: in 700 noisy windows one does by chance.
constexpr double surely_sds = 3.0;
/// How far the extreme cell may lie from its flanks, of the step from cell to cell. A parabola's
/// crest, whose flanks meet above it, lies a whole step off.
constexpr double off_the_flanks = 0.15;

struct Flanks {
  Polynomial left;
  Polynomial right;

  /// Mean of what the two lines say of a place.
  Reading at(Spot spot, double sample_variance) const {
    return {(left.at(spot) + right.at(spot)) / 2.0,
            sample_variance * (left.leverage(spot) + right.leverage(spot)) / 4.0};
  }
};

std::optional<Flanks> flanks_of(const ExtremePlace& place, unsigned half,
                                const Surroundings& around) {
  const auto side = [&](const std::vector<Neighbour>& cells) {
    return fit_polynomial(place.fold, half, Shape::line, around.along_first(),
                          {cells.begin(), cells.begin() + flank});
  };
  const auto left = side(around.before());
  const auto right = side(around.after());
  if (!left || !right) return std::nullopt;
  return Flanks{*left, *right};
}

bool reach_too_far(const ExtremePlace& place, const Surroundings& around) {
  const double reach = (place.fold.resolution.second > 1 ? widest_reach : widest_flank) *
                       static_cast<double>(around.length());
  return -around.before()[flank - 1].du > reach || around.after()[flank - 1].du > reach;
}

/// Straight within the noise, or bent by no more than `bend`.
bool straight(const ExtremePlace& place, const Polynomial& p, double bend) {
  return p.misfit <= place.variance() * (p.freedom + straight_sds * std::sqrt(2.0 * p.freedom)) +
                         bend * bend * p.weight;
}

/// Whether the extreme cell itself lies on the two flanks. Below a rounded crest straight flanks
/// also meet, but above the crest, where the light never is.
bool tip_holds_cell(const ExtremePlace& place, const Flanks& flanks, bool along_first,
                    double steepest) {
  constexpr int points = 9;  // over which the tip is averaged across the cell
  const CellSums& own = place.fold.half[place.chosen_in][place.cell];
  const double centre = (along_first ? own.u : own.v) / own.count;
  const double square = (along_first ? own.uu : own.vv) / own.count;
  // Samples spread evenly over a width have a variance of its square over 12.
  const double width = std::sqrt(12.0 * std::max(0.0, square - centre * centre));
  double expected = 0.0;
  for (int i = 0; i < points; ++i) {
    const Spot at{centre + width * ((i + 0.5) / points - 0.5), 0.0};
    expected += place.sign *
                std::min(place.sign * flanks.left.at(at), place.sign * flanks.right.at(at)) /
                points;
  }
  return std::abs(own.mean() - expected) <=
         surely_sds * place.fold.noise_sd / std::sqrt(own.count) + off_the_flanks * steepest;
}

}  // namespace

std::optional<Reading> read_cusp(const ExtremePlace& place, const Surroundings& around) {
  if (around.before().size() < flank || around.after().size() < flank) return std::nullopt;
  if (reach_too_far(place, around)) return std::nullopt;
  // A crest that a narrow parabola may well describe is not a cusp.
  const auto crest = fit_polynomial(place.fold, place.chosen_in, Shape::parabola,
                                    around.along_first(), around.strip(2, 2));
  if (crest && stands(place.fold, *crest, surely_sds)) return std::nullopt;

  const auto chosen = flanks_of(place, place.chosen_in, around);
  if (!chosen) return std::nullopt;
  const Polynomial& left = chosen->left;
  const Polynomial& right = chosen->right;
  const double rise = place.sign * left.coefficient(1);
  const double fall = -place.sign * right.coefficient(1);
  if (!(rise > 0.0 && fall > 0.0)) return std::nullopt;
  const double run = around.after()[flank - 1].du - around.after().front().du;
  const double bend = most_bend * std::min(rise, fall) * run;
  if (!straight(place, left, bend) || !straight(place, right, bend)) return std::nullopt;
  const double meet =
      (right.coefficient(0) - left.coefficient(0)) / (left.coefficient(1) - right.coefficient(1));
  if (!(meet >= around.before().front().du && meet <= around.after().front().du)) {
    return std::nullopt;
  }
  if (!tip_holds_cell(place, *chosen, around.along_first(), std::max(rise, fall))) {
    return std::nullopt;
  }
  // It must rise out of the noise above the cell it replaces.
  const Spot spot{meet, 0.0};
  const Reading tip = chosen->at(spot, place.variance());
  const double gain =
      place.sign * (tip.value - place.fold.half[place.chosen_in][place.cell].mean());
  if (!(gain > surely_sds * std::sqrt(tip.variance))) return std::nullopt;
  const auto read = flanks_of(place, place.read_in(), around);
  if (!read) return std::nullopt;
  return read->at(spot, place.variance());
}

}  // namespace lampbeat::signal::cycle
