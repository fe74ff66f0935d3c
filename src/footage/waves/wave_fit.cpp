#include "footage/waves/wave_fit.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "footage/waves/normal_equations.hpp"
#include "footage/waves/wave_factors.hpp"

namespace lampbeat::footage::waves {

namespace {

using Complex = std::complex<double>;

// Levenberg–Marquardt as usual: damping falls and rises by tens, from a good start a few steps do.
constexpr double first_damping = 1e-6;
constexpr double hopeless_damping = 1e4;
constexpr int most_steps = 25;
// Changes are counted in cycles over the stretch or the picture: a step of a whole one has left the
// peak it started from, one of so few moves no figure that is printed.
constexpr double leaves_the_peak = 1.0;
constexpr double settled = 1e-7;
// Keeps harmonics that the target hardly tells apart from running away from each other, and the
// inverse from failing, by amounts far below any uncertainty.
constexpr double amplitude_damping = 1e-9;
constexpr double covariance_damping = 1e-12;

/// Parameters have very different scales: each is measured in its own.
Eigen::VectorXd scales_of(const Eigen::MatrixXd& matrix) {
  return matrix.diagonal().cwiseMax(1e-300).cwiseSqrt().cwiseInverse();
}

Eigen::VectorXd solve(const Eigen::MatrixXd& matrix, const Eigen::VectorXd& right, double damping) {
  const Eigen::VectorXd scale = scales_of(matrix);
  Eigen::MatrixXd scaled = scale.asDiagonal() * matrix * scale.asDiagonal();
  scaled.diagonal().array() += damping;
  return scale.asDiagonal() * scaled.ldlt().solve(scale.asDiagonal() * right);
}

struct Solved {
  std::vector<Wave> waves;
  double explained = 0.0;
};

/// Best amplitudes for the waves' rolls and bands, and what they explain.
Solved solved(std::vector<Wave> waves, const FitTarget& target) {
  const NormalEquations equations = normal_equations(waves, target);
  const Eigen::Index l = equations.amplitudes;
  const Eigen::VectorXd amplitudes = solve(equations.normal.topLeftCorner(l, l),
                                           equations.against_data.head(l), amplitude_damping);
  Eigen::Index at = 0;
  for (Wave& wave : waves) {
    for (Harmonic& h : wave.harmonics) {
      h.amplitude =
          Complex(amplitudes[at], amplitudes[at + 1]) * std::conj(to_middle(wave, h.order, target));
      at += 2;
    }
  }
  return {std::move(waves), equations.explained(amplitudes)};
}

Eigen::VectorXd amplitudes_in_middle(const std::vector<Wave>& waves, const FitTarget& target,
                                     Eigen::Index count) {
  Eigen::VectorXd amplitudes(count);
  Eigen::Index at = 0;
  for (const Wave& wave : waves) {
    for (const Harmonic& h : wave.harmonics) {
      const Complex centred = h.amplitude * to_middle(wave, h.order, target);
      amplitudes[at++] = centred.real();
      amplitudes[at++] = centred.imag();
    }
  }
  return amplitudes;
}

struct Moved {
  std::vector<Wave> waves;
  double largest = 0.0;  // change, in cycles over the stretch or the picture
};

/// One damped Gauss–Newton step of rolls and bands.
Moved moved(std::vector<Wave> waves, const FitTarget& target, double damping) {
  const NormalEquations equations = normal_equations(waves, target);
  const Eigen::VectorXd fitted = amplitudes_in_middle(waves, target, equations.amplitudes);
  const Eigen::VectorXd gradient =
      equations.against_data - equations.normal.leftCols(equations.amplitudes) * fitted;
  const Eigen::VectorXd change = solve(equations.normal, gradient, damping);
  Moved to{std::move(waves), 0.0};
  Eigen::Index at = equations.amplitudes;
  for (Wave& wave : to.waves) {
    wave.roll += change[at];
    wave.bands += change[at + 1];
    to.largest =
        std::max({to.largest, std::abs(change[at]) * static_cast<double>(target.rows.frames),
                  std::abs(change[at + 1])});
    at += 2;
  }
  return to;
}

std::vector<Wave> with_uncertainties(std::vector<Wave> waves, const FitTarget& target) {
  const NormalEquations equations = normal_equations(waves, target);
  const Eigen::VectorXd scale = scales_of(equations.normal);
  Eigen::MatrixXd scaled = scale.asDiagonal() * equations.normal * scale.asDiagonal();
  scaled.diagonal().array() += covariance_damping;
  const Eigen::MatrixXd inverse = scaled.inverse();
  const auto covariance = [&](Eigen::Index i, Eigen::Index j) {
    return inverse(i, j) * scale[i] * scale[j];
  };
  const auto sd = [](double variance) { return std::sqrt(std::max(variance, 0.0)); };
  Eigen::Index at = 0;
  Eigen::Index nonlinear = equations.amplitudes;
  for (Wave& wave : waves) {
    for (Harmonic& h : wave.harmonics) {
      const Complex direction =
          std::polar(1.0, std::arg(h.amplitude * to_middle(wave, h.order, target)));
      h.sd = sd(direction.real() * direction.real() * covariance(at, at) +
                2.0 * direction.real() * direction.imag() * covariance(at, at + 1) +
                direction.imag() * direction.imag() * covariance(at + 1, at + 1));
      at += 2;
    }
    wave.roll_sd = sd(covariance(nonlinear, nonlinear));
    wave.bands_sd = sd(covariance(nonlinear + 1, nonlinear + 1));
    nonlinear += 2;
  }
  return waves;
}

std::vector<Wave> finished(std::vector<Wave> waves, const FitTarget& target) {
  for (Wave& wave : waves) make_customary(wave);
  return with_uncertainties(std::move(waves), target);
}

}  // namespace

std::vector<Wave> refined(std::vector<Wave> waves, const FitTarget& target) {
  if (waves.empty()) return waves;
  Solved best = solved(std::move(waves), target);
  double damping = first_damping;
  for (int step = 0; step < most_steps; ++step) {
    Moved to = moved(best.waves, target, damping);
    Solved tried = solved(std::move(to.waves), target);
    if (!(tried.explained >= best.explained) || to.largest > leaves_the_peak) {
      damping = std::max(damping, first_damping) * 10.0;
      if (damping > hopeless_damping) break;
      continue;
    }
    best = std::move(tried);
    damping *= 0.1;
    if (to.largest < settled) break;
  }
  return finished(std::move(best.waves), target);
}

std::vector<Wave> with_best_amplitudes(std::vector<Wave> waves, const FitTarget& target) {
  if (waves.empty()) return waves;
  return finished(solved(std::move(waves), target).waves, target);
}

Wave best_around(const Wave& wave, const FitTarget& target) {
  // A peak of the padded map lies within half a bin, a quarter of a cycle, of the true one; noise
  // and shading move it a little more. Eighths reach the next within the fit's grasp.
  constexpr int eighths = 6;
  const double roll_step = 0.125 / static_cast<double>(target.rows.frames);
  constexpr double bands_step = 0.125;
  Wave best = wave;
  double most = -1.0;
  for (int i = -eighths; i <= eighths; ++i) {
    for (int j = -eighths; j <= eighths; ++j) {
      Wave tried = wave;
      tried.roll += i * roll_step;
      tried.bands += j * bands_step;
      Solved result = solved({tried}, target);
      if (result.explained > most) {
        most = result.explained;
        best = std::move(result.waves.front());
      }
    }
  }
  return best;
}

}  // namespace lampbeat::footage::waves
