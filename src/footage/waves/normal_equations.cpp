// Every regressor is the real part of an outer product (a complex number per frame times one per
// row), and so are its derivatives; taking means out over time and over rows keeps it so. Inner
// products between regressors therefore cost frames + rows, not frames × rows.

#include "footage/waves/normal_equations.hpp"

#include <complex>

#include "arithmetic/phase.hpp"
#include "footage/waves/wave_factors.hpp"

namespace lampbeat::footage::waves {

namespace {

using Factor = WaveFactors::Factor;

enum class By { amplitude, roll, bands };

/// coefficient · time ⊗ row of one harmonic, or of its derivative.
struct Term {
  Complex coefficient;
  const WaveFactors* harmonic;
  std::size_t index;  // of the harmonic
  By by = By::amplitude;

  const Factor& time() const { return by == By::roll ? harmonic->time_by_roll : harmonic->time; }
  const Factor& row() const { return by == By::bands ? harmonic->row_by_bands : harmonic->row; }
  const Factor& slow_free() const {
    return by == By::roll ? harmonic->slow_free_by_roll : harmonic->slow_free;
  }
  Complex row_mean() const {
    return by == By::bands ? harmonic->row_mean_by_bands : harmonic->row_mean;
  }
};
/// The derivative of the model by one parameter.
using Regressor = std::vector<Term>;

std::vector<WaveFactors> all_factors(const std::vector<Wave>& waves, const FitTarget& target) {
  std::vector<WaveFactors> factors;
  for (const Wave& wave : waves) {
    for (const Harmonic& h : wave.harmonics) factors.push_back(factors_of(wave, h.order, target));
  }
  return factors;
}

struct Regressors {
  std::vector<Regressor> all;
  Eigen::Index amplitudes = 0;
};

Regressors regressors_of(const std::vector<Wave>& waves, const std::vector<WaveFactors>& factors,
                         const FitTarget& target) {
  Regressors regressors;
  std::size_t harmonic = 0;
  std::vector<Regressor> nonlinear;
  for (const Wave& wave : waves) {
    Regressor by_roll;
    Regressor by_bands;
    const Complex turned = std::polar(
        1.0, arithmetic::turn * (wave.roll * 0.5 * static_cast<double>(target.rows.frames - 1) +
                                 wave.bands * 0.5));
    for (const Harmonic& h : wave.harmonics) {
      // Amplitudes are kept for the first frame and row, fitted in the middle.
      const Complex centred = h.amplitude * std::pow(turned, h.order);
      const WaveFactors* own = &factors[harmonic];
      regressors.all.push_back({{Complex(1.0), own, harmonic}});
      regressors.all.push_back({{i_unit, own, harmonic}});
      by_roll.push_back({centred, own, harmonic, By::roll});
      by_bands.push_back({centred, own, harmonic, By::bands});
      ++harmonic;
    }
    nonlinear.push_back(std::move(by_roll));
    nonlinear.push_back(std::move(by_bands));
  }
  regressors.amplitudes = static_cast<Eigen::Index>(regressors.all.size());
  for (Regressor& r : nonlinear) regressors.all.push_back(std::move(r));
  return regressors;
}

/// The data summed down the rows against each harmonic's four real factors, for every frame.
Eigen::MatrixXd summed_down(const clips::Plane& rows, const std::vector<WaveFactors>& factors) {
  using Matrix = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;
  const Eigen::Map<const Matrix> data(rows.value.data(), static_cast<Eigen::Index>(rows.frames),
                                      static_cast<Eigen::Index>(rows.rows));
  const auto harmonics = static_cast<Eigen::Index>(factors.size());
  Eigen::MatrixXd down(data.cols(), 4 * harmonics);
  for (Eigen::Index h = 0; h < harmonics; ++h) {
    const WaveFactors& f = factors[static_cast<std::size_t>(h)];
    down.col(4 * h) = f.row.real();
    down.col(4 * h + 1) = f.row.imag();
    down.col(4 * h + 2) = f.row_by_bands.real();
    down.col(4 * h + 3) = f.row_by_bands.imag();
  }
  return data * down;
}

double against(const Term& t, const Eigen::MatrixXd& summed) {
  const auto column = 4 * static_cast<Eigen::Index>(t.index) + (t.by == By::bands ? 2 : 0);
  const Factor& along = t.time();
  Complex sum = 0.0;
  for (Eigen::Index n = 0; n < along.size(); ++n) {
    sum += along[n] * Complex(summed(n, column), summed(n, column + 1));
  }
  return (t.coefficient * sum).real();
}

/// Re(a u⊗v) · Re(b u'⊗v') = ½ Re{ab (u·u')(v·v') + a b* (u·u'*)(v·v'*)}.
double product(const Term& a, const Term& b) {
  const Complex plain =
      (a.time().transpose() * b.time()).value() * (a.row().transpose() * b.row()).value();
  const Complex crossed = b.time().dot(a.time()) * b.row().dot(a.row());
  return 0.5 * (a.coefficient * b.coefficient * plain +
                a.coefficient * std::conj(b.coefficient) * crossed)
                   .real();
}

void add_rows(NormalEquations& equations, const std::vector<Regressor>& regressors,
              const Eigen::MatrixXd& summed, double weight) {
  for (std::size_t i = 0; i < regressors.size(); ++i) {
    const auto row_i = static_cast<Eigen::Index>(i);
    for (const Term& a : regressors[i]) {
      equations.against_data[row_i] += weight * against(a, summed);
    }
    for (std::size_t j = i; j < regressors.size(); ++j) {
      double sum = 0.0;
      for (const Term& a : regressors[i]) {
        for (const Term& b : regressors[j]) sum += product(a, b);
      }
      const auto row_j = static_cast<Eigen::Index>(j);
      equations.normal(row_i, row_j) = equations.normal(row_j, row_i) = weight * sum;
    }
  }
}

void add_frame_means(NormalEquations& equations, const std::vector<Regressor>& regressors,
                     const FitTarget& target) {
  const auto frames = static_cast<Eigen::Index>(target.frame_means.size());
  Eigen::MatrixXd columns =
      Eigen::MatrixXd::Zero(frames, static_cast<Eigen::Index>(regressors.size()));
  for (std::size_t i = 0; i < regressors.size(); ++i) {
    for (const Term& t : regressors[i]) {
      const Complex factor = t.coefficient * t.row_mean();
      columns.col(static_cast<Eigen::Index>(i)) += (factor * t.slow_free()).real();
    }
  }
  const Eigen::Map<const Eigen::VectorXd> data(target.frame_means.data(), frames);
  const double weight = 1.0 / target.frame_noise_variance;
  equations.normal += weight * columns.transpose() * columns;
  equations.against_data += weight * columns.transpose() * data;
}

}  // namespace

double NormalEquations::explained(const Eigen::VectorXd& by_amplitudes) const {
  const Eigen::Index l = amplitudes;
  return 2.0 * by_amplitudes.dot(against_data.head(l)) -
         by_amplitudes.dot(normal.topLeftCorner(l, l) * by_amplitudes);
}

NormalEquations normal_equations(const std::vector<Wave>& waves, const FitTarget& target) {
  const std::vector<WaveFactors> factors = all_factors(waves, target);
  const Regressors regressors = regressors_of(waves, factors, target);
  const auto count = static_cast<Eigen::Index>(regressors.all.size());
  NormalEquations equations{Eigen::MatrixXd::Zero(count, count), Eigen::VectorXd::Zero(count),
                            regressors.amplitudes};
  add_rows(equations, regressors.all, summed_down(target.rows, factors),
           1.0 / target.row_noise_variance);
  if (!target.frame_means.empty()) add_frame_means(equations, regressors.all, target);
  return equations;
}

}  // namespace lampbeat::footage::waves
