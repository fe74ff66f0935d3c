#include "signal/lines/normal_equations.hpp"

#include <algorithm>
#include <cmath>
#include <complex>

#include "arithmetic/phase.hpp"
#include "arithmetic/unit_circle.hpp"
#include "signal/lines/window_sums.hpp"

namespace lampbeat::signal::lines {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

Index cosine_of(std::size_t line) { return static_cast<Index>(2 + 2 * line); }
Index sine_of(std::size_t line) { return static_cast<Index>(3 + 2 * line); }

/// Adds `part` to the row or column of every fundamental the line hangs on, in proportion to how
/// far the line moves with it.
template <typename Add>
void to_fundamentals(const TiedLine& line, Index first_fundamental, Add&& add) {
  add(first_fundamental + static_cast<Index>(line.fundamental), static_cast<double>(line.order));
  if (line.beside) {
    add(first_fundamental + static_cast<Index>(line.beside->fundamental),
        static_cast<double>(line.beside->order));
  }
}

}  // namespace

std::vector<double> line_rates(const LineModel& model, const FitClock& clock) {
  std::vector<double> rates;
  rates.reserve(model.lines.size());
  for (const TiedLine& line : model.lines) {
    rates.push_back(arithmetic::turn * model.hz(line) * clock.half_s);
  }
  return rates;
}

NormalEquations even_equations(std::size_t samples, const LineModel& model,
                               std::span<const double> rates, const Projections& projections,
                               const LineAmplitudes& about) {
  const std::size_t lines = model.lines.size();
  const Index first = linear_unknowns(lines);
  const Index size = first + static_cast<Index>(model.fundamental_hz.size());
  NormalEquations eq{MatrixXd::Zero(size, size), VectorXd::Zero(size)};
  // Only the lower triangle is written, then mirrored; entries towards the fundamentals add up.
  MatrixXd& gram = eq.gram;

  gram(0, 0) = static_cast<double>(samples);
  gram(1, 1) = window_sums(samples, 0.0).clock2_cosine;
  eq.projection(0) = projections.sum;
  eq.projection(1) = projections.clocked_sum;

  for (std::size_t i = 0; i < lines; ++i) {
    const double a = about.cosine[i];
    const double b = about.sine[i];
    const WindowSums own = window_sums(samples, rates[i]);
    gram(cosine_of(i), 0) = own.cosine;
    gram(sine_of(i), 1) = own.clock_sine;
    eq.projection(cosine_of(i)) = projections.plain[i].real();
    eq.projection(sine_of(i)) = -projections.plain[i].imag();
    // Moving the line's rate changes the fit by u (−a sin + b cos).
    to_fundamentals(model.lines[i], first, [&](Index row, double share) {
      gram(row, 0) += share * -a * own.clock_sine;
      gram(row, 1) += share * b * own.clock2_cosine;
      eq.projection(row) +=
          share * (a * projections.clocked[i].imag() + b * projections.clocked[i].real());
    });

    for (std::size_t j = 0; j < lines; ++j) {
      const WindowSums apart = window_sums(samples, rates[i] - rates[j]);
      const WindowSums together = window_sums(samples, rates[i] + rates[j]);
      if (j <= i) {
        gram(cosine_of(i), cosine_of(j)) = (apart.cosine + together.cosine) / 2.0;
        gram(sine_of(i), sine_of(j)) = (apart.cosine - together.cosine) / 2.0;
      }
      const double aj = about.cosine[j];
      const double bj = about.sine[j];
      const double cosine_rate = -aj * (together.clock_sine - apart.clock_sine) / 2.0;
      const double sine_rate = bj * (together.clock_sine + apart.clock_sine) / 2.0;
      const double rate_rate = a * aj * (apart.clock2_cosine - together.clock2_cosine) / 2.0 +
                               b * bj * (apart.clock2_cosine + together.clock2_cosine) / 2.0;
      to_fundamentals(model.lines[j], first, [&](Index row, double share) {
        gram(row, cosine_of(i)) += share * cosine_rate;
        gram(row, sine_of(i)) += share * sine_rate;
        to_fundamentals(model.lines[i], first, [&](Index column, double column_share) {
          if (column <= row) gram(row, column) += share * column_share * rate_rate;
        });
      });
    }
  }
  gram.triangularView<Eigen::StrictlyUpper>() = gram.transpose();
  return eq;
}

NormalEquations dense_equations(const Window& window, const LineModel& model,
                                std::span<const double> rates, const LineAmplitudes& about) {
  const std::size_t lines = model.lines.size();
  const Index first = linear_unknowns(lines);
  const Index size = first + static_cast<Index>(model.fundamental_hz.size());
  NormalEquations eq{MatrixXd::Zero(size, size), VectorXd::Zero(size)};
  const FitClock clock(window);

  constexpr std::size_t chunk = 512;  // of 200 columns, under a megabyte: the second-level cache's
  MatrixXd rows(static_cast<Index>(chunk), size);
  VectorXd values(static_cast<Index>(chunk));
  for (std::size_t start = 0; start < window.size(); start += chunk) {
    const std::size_t count = std::min(chunk, window.size() - start);
    rows.rightCols(size - first).setZero();
    for (std::size_t n = 0; n < count; ++n) {
      const auto row = static_cast<Index>(n);
      const double u = clock.at(window.time_at(start + n));
      values(row) = window.value[start + n];
      rows(row, 0) = 1.0;
      rows(row, 1) = u;
      for (std::size_t i = 0; i < lines; ++i) {
        const auto [c, s] = arithmetic::unit_circle(rates[i] * u);
        rows(row, cosine_of(i)) = c;
        rows(row, sine_of(i)) = s;
        const double moved = u * (about.sine[i] * c - about.cosine[i] * s);
        to_fundamentals(model.lines[i], first,
                        [&](Index column, double share) { rows(row, column) += share * moved; });
      }
    }
    const auto used = rows.topRows(static_cast<Index>(count));
    eq.gram.selfadjointView<Eigen::Lower>().rankUpdate(used.transpose());
    eq.projection.noalias() += used.transpose() * values.head(static_cast<Index>(count));
  }
  eq.gram.triangularView<Eigen::StrictlyUpper>() = eq.gram.transpose();
  return eq;
}

}  // namespace lampbeat::signal::lines
