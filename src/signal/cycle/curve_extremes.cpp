#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <vector>

#include "arithmetic/phase.hpp"
#include "signal/cycle/stretch_scatter.hpp"
#include "signal/cycle/table_extreme.hpp"

namespace lampbeat::signal::cycle {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

/// Of a cusp more harmonics pass every test and still miss its tip.
constexpr int most_harmonics = 3;
/// So far it is looked for what a short series would leave out.
constexpr int harmonics_looked_at = 12;
/// Places that determine a harmonic's two amplitudes and confirm them.
constexpr int places_a_harmonic = 3;
/// As many phases again must confirm the series that half of them would determine.
constexpr double confirming = 2.0;
/// Chi-squared of two degrees above which a harmonic is there: of noise, one in 245.
constexpr double there = 11.0;
/// And standard deviations of the sum over all the others.
constexpr double like_noise_sds = 2.5;
/// Of a cycle's swing: what calculating without noise leaves.
constexpr double calculated = 1e-9;
/// Below this the phases leave a combination of harmonics all but free.
constexpr double all_but_free = 1e-3;
/// A crest lies at most half a step off, where the third harmonic is 1e-5 of its amplitude lower.
constexpr int steps = 2048;
/// What of a sum's uncertainty the harmonics that noise hides may add.
constexpr double hidden_share = 0.5;
/// How far light strays that strays by 1 rms: a sine by 1.4, the tip of a cusp from its first three
/// harmonics by 4.9.
constexpr double crest_of_rms = 5.0;
/// Of the swing: one in twenty captures of a sine in noise shows a faster harmonic that is not
/// there; more is a shape.
constexpr double most_beyond = 0.02;

void put_basis(double phase, int harmonics, Eigen::Ref<VectorXd> row) {
  row(0) = 1.0;
  const double turn_c = std::cos(arithmetic::turn * phase);
  const double turn_s = std::sin(arithmetic::turn * phase);
  double c = 1.0, s = 0.0;
  for (int k = 1; k <= harmonics; ++k) {
    const double before = c;
    row(2 * k - 1) = c = before * turn_c - s * turn_s;
    row(2 * k) = s = s * turn_c + before * turn_s;
  }
}

/// The filled cells, as least squares wants them.
struct Places {
  MatrixXd basis;  ///< one row a place
  VectorXd value;
  VectorXd weight;
  std::vector<std::size_t> cell;
  MatrixXd gram;  ///< of the basis, weighted; its lower half
};

Places places_of(const PhaseTable& table, int harmonics) {
  Places p;
  for (std::size_t c = 0; c < table.cells; ++c) {
    if (table.total[c].count > 0.0) p.cell.push_back(c);
  }
  const auto rows = static_cast<Index>(p.cell.size());
  p.basis.resize(rows, 2 * harmonics + 1);
  p.value.resize(rows);
  p.weight.resize(rows);
  VectorXd row(2 * harmonics + 1);
  for (Index i = 0; i < rows; ++i) {
    const std::size_t c = p.cell[static_cast<std::size_t>(i)];
    const CellTotals& total = table.total[c];
    const double place = static_cast<double>(c) + 0.5 + total.offset / total.count;
    put_basis(place / static_cast<double>(table.cells), harmonics, row);
    p.basis.row(i) = row;
    p.value(i) = total.mean();
    p.weight(i) = total.count;
  }
  const MatrixXd scaled = p.weight.cwiseSqrt().asDiagonal() * p.basis;
  p.gram = MatrixXd::Zero(p.basis.cols(), p.basis.cols());
  p.gram.selfadjointView<Eigen::Lower>().rankUpdate(scaled.transpose());
  return p;
}

/// With as many harmonics as the phases determine: few distinct ones determine few, however many
/// cells they fill.
std::optional<Places> determined_places(const PhaseTable& table) {
  const auto filled = std::count_if(table.total.begin(), table.total.end(),
                                    [](const CellTotals& cell) { return cell.count > 0.0; });
  int harmonics = std::min(harmonics_looked_at, (static_cast<int>(filled) - 1) / places_a_harmonic);
  for (; harmonics >= 1; --harmonics) {
    Places p = places_of(table, harmonics);
    if (Eigen::LDLT<MatrixXd>(p.gram).rcond() > all_but_free) return p;
  }
  return std::nullopt;
}

/// What the phases show of a series.
struct Harmonics {
  int described = 0;    ///< the highest that is there, of those a curve may have
  double beyond = 0.0;  ///< amplitudes of those faster that seem to be there, together
};

Harmonics harmonics_there(const Places& p, double noise_sd) {
  const int looked_at = static_cast<int>(p.basis.cols() - 1) / 2;
  const Eigen::LDLT<MatrixXd> normal(p.gram);
  const VectorXd amplitude = normal.solve(p.basis.transpose() * p.weight.cwiseProduct(p.value));
  const MatrixXd covariance =
      noise_sd * noise_sd * normal.solve(MatrixXd::Identity(amplitude.size(), amplitude.size()));
  Harmonics h;
  for (int k = 1; k <= looked_at; ++k) {
    const Eigen::Vector2d a = amplitude.segment<2>(2 * k - 1);
    const Eigen::Matrix2d own = covariance.block<2, 2>(2 * k - 1, 2 * k - 1);
    if (a.dot(own.inverse() * a) < there) continue;
    if (k <= most_harmonics) {
      h.described = k;
    } else {
      h.beyond += a.norm();
    }
  }
  return h;
}

/// A fitted series and how each stretch would move it.
struct Series {
  VectorXd coefficient;
  MatrixXd inverse;
  std::vector<VectorXd> pull;  ///< of a stretch, on the coefficients

  double left_out = 0.0;  ///< what neither it nor the noise explains, rms

  TableReading read(double sign, int harmonics, double noise_sd) const;
};

/// Faster ripple than is looked for shows in how far the places lie from the curve.
double left_out_of(const Places& p, const VectorXd& fitted, Index terms, double noise_sd) {
  const double freedom = static_cast<double>(p.value.size() - terms);
  const double by_noise =
      noise_sd * noise_sd * (freedom + like_noise_sds * std::sqrt(2.0 * std::max(1.0, freedom)));
  const double squares = p.weight.dot((p.value - fitted).cwiseAbs2());
  return std::sqrt(std::max(0.0, squares - by_noise) / p.weight.sum());
}

Series fit(const PhaseTable& table, const Places& p, int harmonics, double noise_sd) {
  const Index terms = 2 * harmonics + 1;
  const auto basis = p.basis.leftCols(terms);
  const MatrixXd weighted = p.weight.asDiagonal() * basis;
  Series s;
  s.inverse = (basis.transpose() * weighted).inverse();
  s.coefficient = s.inverse * (weighted.transpose() * p.value);
  const VectorXd fitted = basis * s.coefficient;
  s.left_out = left_out_of(p, fitted, terms, noise_sd);
  for (std::size_t stretch = 0; stretch < table.stretches; ++stretch) {
    VectorXd rest(fitted.size());
    for (Index i = 0; i < fitted.size(); ++i) {
      const std::size_t c = p.cell[static_cast<std::size_t>(i)];
      rest(i) = table.value_in(stretch, c) - table.count_in(stretch, c) * fitted(i);
    }
    s.pull.push_back(s.inverse * (basis.transpose() * rest));
  }
  return s;
}

TableReading Series::read(double sign, int harmonics, double noise_sd) const {
  VectorXd row(coefficient.size());
  VectorXd place = row;
  double most = -HUGE_VAL;
  for (int i = 0; i < steps; ++i) {
    put_basis(static_cast<double>(i) / steps, harmonics, row);
    const double here = sign * row.dot(coefficient);
    if (here <= most) continue;
    most = here;
    place = row;
  }
  const auto stretches = static_cast<double>(pull.size());
  double scatter = 0.0;
  for (const VectorXd& p : pull) scatter += place.dot(p) * place.dot(p);
  scatter *= stretches / (stretches - 1.0);
  const double model = noise_sd * noise_sd * place.dot(inverse * place);
  const double sd = sd_of_stretches(scatter, model, stretches);
  return {sign * most, sd, std::hypot(hidden_share * sd, crest_of_rms * left_out)};
}

}  // namespace

std::optional<CurveExtremes> curve_extremes(const PhaseTable& table) {
  if (table.stretches < 2) return std::nullopt;
  const std::optional<Places> determined = determined_places(table);
  if (!determined) return std::nullopt;
  const Places& places = *determined;
  const auto [low, high] = std::minmax_element(places.value.begin(), places.value.end());
  const double noise_sd = std::max(table.noise_sd, calculated * (*high - *low));
  if (!(noise_sd > 0.0)) return std::nullopt;
  const Harmonics harmonics = harmonics_there(places, noise_sd);
  if (harmonics.described < 1 || harmonics.beyond > most_beyond * (*high - *low)) {
    return std::nullopt;
  }
  if (confirming * (2 * harmonics.described + 1) * table.phase_gap > 1.0) return std::nullopt;
  const Series series = fit(table, places, harmonics.described, noise_sd);
  CurveExtremes read{series.read(+1.0, harmonics.described, noise_sd),
                     series.read(-1.0, harmonics.described, noise_sd)};
  for (TableReading* r : {&read.highest, &read.lowest}) {
    r->bound = std::hypot(r->bound, harmonics.beyond);
  }
  return read;
}

}  // namespace lampbeat::signal::cycle
