// Every regressor is the real part of an outer product (a complex number per frame times one per
// row), and so are its derivatives; taking means out over time and over rows keeps it so. Inner
// products between regressors therefore cost frames + rows, not frames × rows.

#include "footage/waves/wave_fit.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace lampbeat::footage {

namespace {

using Complex = std::complex<double>;
using Series = Eigen::VectorXcd;
constexpr double turn = 2.0 * std::numbers::pi;
constexpr Complex i_unit(0.0, 1.0);

/// One harmonic along time and down the rows, and how they change with roll and bands.
struct Factors {
  Series time, time_by_roll;
  Series row, row_by_bands;             // means taken out
  Complex row_mean, row_mean_by_bands;  // what was taken out
};

/// coefficient · time ⊗ row of one harmonic; `by_roll` and `by_bands` choose the derivative.
struct Term {
  Complex coefficient;
  std::size_t harmonic;
  bool by_roll = false;
  bool by_bands = false;
};
/// The derivative of the model by one parameter.
using Regressor = std::vector<Term>;

class Problem {
 public:
  Problem(const FitTarget& target, const std::vector<Wave>& waves) : target_(target) {
    for (const Wave& wave : waves) {
      for (const Harmonic& h : wave.harmonics) add_factors(wave, h.order);
    }
    project();
    build_regressors(waves);
    solve_products();
  }

  const Eigen::MatrixXd& normal() const { return normal_; }
  const Eigen::VectorXd& against_data() const { return against_data_; }
  std::size_t linear() const { return linear_; }
  /// Sum of squares, weighted, that the amplitudes explain.
  double explained(const Eigen::VectorXd& amplitudes) const {
    const auto l = static_cast<Eigen::Index>(linear_);
    return 2.0 * amplitudes.dot(against_data_.head(l)) -
           amplitudes.dot(normal_.topLeftCorner(l, l) * amplitudes);
  }

 private:
  static Complex mean_out(Series& v) {
    const Complex mean = v.mean();
    v.array() -= mean;
    return mean;
  }

  void add_factors(const Wave& wave, int order) {
    const auto frames = static_cast<Eigen::Index>(target_.rows.frames);
    const auto rows = static_cast<Eigen::Index>(target_.rows.rows);
    const double middle = 0.5 * static_cast<double>(frames - 1);
    Factors f{Series(frames), Series(frames), Series(rows), Series(rows), {}, {}};
    for (Eigen::Index n = 0; n < frames; ++n) {
      const double t = static_cast<double>(n) - middle;
      f.time[n] = std::polar(1.0, turn * order * wave.roll * t);
      f.time_by_roll[n] = i_unit * (turn * order * t) * f.time[n];
    }
    const double gain = target_.scale.gain(order * wave.bands);
    for (Eigen::Index r = 0; r < rows; ++r) {
      const double y = target_.scale.place(static_cast<std::size_t>(r)) - 0.5;
      f.row[r] = std::polar(gain, turn * order * wave.bands * y);
      f.row_by_bands[r] = i_unit * (turn * order * y) * f.row[r];
    }
    f.row_mean = mean_out(f.row);
    f.row_mean_by_bands = mean_out(f.row_by_bands);
    factors_.push_back(std::move(f));
  }

  /// Frame means first (they need the uncentred time factors), then centring over time.
  void project() {
    for (Factors& f : factors_) {
      if (!target_.frame_means.empty()) {
        slow_free_.push_back({slow_free(f.time), slow_free(f.time_by_roll)});
      }
      mean_out(f.time);
      mean_out(f.time_by_roll);
    }
  }

  Series slow_free(const Series& v) const {
    std::vector<double> re(static_cast<std::size_t>(v.size()));
    std::vector<double> im(re.size());
    for (std::size_t n = 0; n < re.size(); ++n) {
      re[n] = v[static_cast<Eigen::Index>(n)].real();
      im[n] = v[static_cast<Eigen::Index>(n)].imag();
    }
    take_out_slow(re, target_.slow_modes);
    take_out_slow(im, target_.slow_modes);
    Series out(v.size());
    for (std::size_t n = 0; n < re.size(); ++n) out[static_cast<Eigen::Index>(n)] = {re[n], im[n]};
    return out;
  }

  void build_regressors(const std::vector<Wave>& waves) {
    std::size_t harmonic = 0;
    std::vector<Regressor> nonlinear;
    for (const Wave& wave : waves) {
      Regressor by_roll;
      Regressor by_bands;
      const Complex turned =
          std::polar(1.0, turn * (wave.roll * 0.5 * static_cast<double>(target_.rows.frames - 1) +
                                  wave.bands * 0.5));
      for (const Harmonic& h : wave.harmonics) {
        // Amplitudes are kept for the first frame and row, fitted in the middle.
        const Complex centred = h.amplitude * std::pow(turned, h.order);
        regressors_.push_back({{Complex(1.0), harmonic}});
        regressors_.push_back({{i_unit, harmonic}});
        by_roll.push_back({centred, harmonic, true, false});
        by_bands.push_back({centred, harmonic, false, true});
        ++harmonic;
      }
      nonlinear.push_back(std::move(by_roll));
      nonlinear.push_back(std::move(by_bands));
    }
    linear_ = regressors_.size();
    for (Regressor& r : nonlinear) regressors_.push_back(std::move(r));
  }

  const Series& time(const Term& t) const {
    return t.by_roll ? factors_[t.harmonic].time_by_roll : factors_[t.harmonic].time;
  }
  const Series& row(const Term& t) const {
    return t.by_bands ? factors_[t.harmonic].row_by_bands : factors_[t.harmonic].row;
  }

  void solve_products() {
    const auto count = static_cast<Eigen::Index>(regressors_.size());
    normal_ = Eigen::MatrixXd::Zero(count, count);
    against_data_ = Eigen::VectorXd::Zero(count);
    row_products();
    if (!target_.frame_means.empty()) frame_products();
  }

  void row_products() {
    const Plane& rows = target_.rows;
    using Matrix = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;
    const Eigen::Map<const Matrix> data(rows.value.data(), static_cast<Eigen::Index>(rows.frames),
                                        static_cast<Eigen::Index>(rows.rows));
    const auto harmonics = static_cast<Eigen::Index>(factors_.size());
    Eigen::MatrixXd down(data.cols(), 4 * harmonics);
    for (Eigen::Index h = 0; h < harmonics; ++h) {
      const Factors& f = factors_[static_cast<std::size_t>(h)];
      down.col(4 * h) = f.row.real();
      down.col(4 * h + 1) = f.row.imag();
      down.col(4 * h + 2) = f.row_by_bands.real();
      down.col(4 * h + 3) = f.row_by_bands.imag();
    }
    const Eigen::MatrixXd seen = data * down;
    const double weight = 1.0 / target_.row_noise_variance;
    const auto data_product = [&](const Term& t) {
      const auto column = 4 * static_cast<Eigen::Index>(t.harmonic) + (t.by_bands ? 2 : 0);
      const Series& along = time(t);
      Complex sum = 0.0;
      for (Eigen::Index n = 0; n < along.size(); ++n) {
        sum += along[n] * Complex(seen(n, column), seen(n, column + 1));
      }
      return (t.coefficient * sum).real();
    };
    // Re(a u⊗v) · Re(b u'⊗v') = ½ Re{ab (u·u')(v·v') + a b* (u·u'*)(v·v'*)}.
    const auto product = [&](const Term& a, const Term& b) {
      const Complex plain =
          (time(a).transpose() * time(b)).value() * (row(a).transpose() * row(b)).value();
      const Complex crossed = time(b).dot(time(a)) * row(b).dot(row(a));
      return 0.5 * (a.coefficient * b.coefficient * plain +
                    a.coefficient * std::conj(b.coefficient) * crossed)
                       .real();
    };
    for (std::size_t i = 0; i < regressors_.size(); ++i) {
      const auto row_i = static_cast<Eigen::Index>(i);
      for (const Term& a : regressors_[i]) against_data_[row_i] += weight * data_product(a);
      for (std::size_t j = i; j < regressors_.size(); ++j) {
        double sum = 0.0;
        for (const Term& a : regressors_[i]) {
          for (const Term& b : regressors_[j]) sum += product(a, b);
        }
        const auto row_j = static_cast<Eigen::Index>(j);
        normal_(row_i, row_j) = normal_(row_j, row_i) = weight * sum;
      }
    }
  }

  void frame_products() {
    const auto frames = static_cast<Eigen::Index>(target_.frame_means.size());
    Eigen::MatrixXd columns =
        Eigen::MatrixXd::Zero(frames, static_cast<Eigen::Index>(regressors_.size()));
    for (std::size_t i = 0; i < regressors_.size(); ++i) {
      for (const Term& t : regressors_[i]) {
        const Factors& f = factors_[t.harmonic];
        const Complex factor = t.coefficient * (t.by_bands ? f.row_mean_by_bands : f.row_mean);
        const Series& along = slow_free_[t.harmonic][t.by_roll ? 1 : 0];
        columns.col(static_cast<Eigen::Index>(i)) += (factor * along).real();
      }
    }
    const Eigen::Map<const Eigen::VectorXd> data(target_.frame_means.data(), frames);
    const double weight = 1.0 / target_.frame_noise_variance;
    normal_ += weight * columns.transpose() * columns;
    against_data_ += weight * columns.transpose() * data;
  }

  const FitTarget& target_;
  std::vector<Factors> factors_;
  std::vector<std::array<Series, 2>> slow_free_;
  std::vector<Regressor> regressors_;
  std::size_t linear_ = 0;
  Eigen::MatrixXd normal_;
  Eigen::VectorXd against_data_;
};

/// Solves a symmetric system whose unknowns have very different scales.
Eigen::VectorXd solve(const Eigen::MatrixXd& matrix, const Eigen::VectorXd& right, double damping) {
  const Eigen::VectorXd scale = matrix.diagonal().cwiseMax(1e-300).cwiseSqrt().cwiseInverse();
  Eigen::MatrixXd scaled = scale.asDiagonal() * matrix * scale.asDiagonal();
  scaled.diagonal().array() += damping;
  return scale.asDiagonal() * scaled.ldlt().solve(scale.asDiagonal() * right);
}

Complex to_middle(const Wave& wave, int order, const FitTarget& target) {
  return std::polar(
      1.0, turn * order *
               (wave.roll * 0.5 * static_cast<double>(target.rows.frames - 1) + wave.bands * 0.5));
}

/// Best amplitudes for the waves' rolls and bands; returns what they explain.
double solve_amplitudes(std::vector<Wave>& waves, const FitTarget& target, const Problem& problem) {
  const auto l = static_cast<Eigen::Index>(problem.linear());
  const Eigen::VectorXd amplitudes =
      solve(problem.normal().topLeftCorner(l, l), problem.against_data().head(l), 1e-9);
  Eigen::Index at = 0;
  for (Wave& wave : waves) {
    for (Harmonic& h : wave.harmonics) {
      h.amplitude =
          Complex(amplitudes[at], amplitudes[at + 1]) * std::conj(to_middle(wave, h.order, target));
      at += 2;
    }
  }
  return problem.explained(amplitudes);
}

void take_uncertainties(std::vector<Wave>& waves, const FitTarget& target, const Problem& problem) {
  const Eigen::VectorXd scale =
      problem.normal().diagonal().cwiseMax(1e-300).cwiseSqrt().cwiseInverse();
  Eigen::MatrixXd scaled = scale.asDiagonal() * problem.normal() * scale.asDiagonal();
  scaled.diagonal().array() += 1e-12;
  const Eigen::MatrixXd inverse = scaled.inverse();
  const auto covariance = [&](Eigen::Index i, Eigen::Index j) {
    return inverse(i, j) * scale[i] * scale[j];
  };
  const auto sd = [](double variance) { return std::sqrt(std::max(variance, 0.0)); };
  Eigen::Index at = 0;
  auto nonlinear = static_cast<Eigen::Index>(problem.linear());
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
}

}  // namespace

void take_out_slow(std::vector<double>& series, std::size_t modes) {
  const auto count = static_cast<double>(series.size());
  for (std::size_t m = 0; m < modes && m < series.size(); ++m) {
    // Type-II cosine modes are orthogonal on evenly spaced samples, so they go one by one.
    const auto mode = [&](std::size_t n) {
      return std::cos(std::numbers::pi * static_cast<double>(m) * (static_cast<double>(n) + 0.5) /
                      count);
    };
    double sum = 0.0;
    for (std::size_t n = 0; n < series.size(); ++n) sum += series[n] * mode(n);
    sum *= (m == 0 ? 1.0 : 2.0) / count;
    for (std::size_t n = 0; n < series.size(); ++n) series[n] -= sum * mode(n);
  }
}

void refine(std::vector<Wave>& waves, const FitTarget& target, bool moving) {
  if (waves.empty()) return;
  double explained = solve_amplitudes(waves, target, Problem(target, waves));
  double damping = 1e-6;
  for (int step = 0; moving && step < 25; ++step) {
    const Problem problem(target, waves);
    const auto linear = static_cast<Eigen::Index>(problem.linear());
    Eigen::VectorXd fitted(linear);
    Eigen::Index at = 0;
    for (const Wave& wave : waves) {
      for (const Harmonic& h : wave.harmonics) {
        const Complex centred = h.amplitude * to_middle(wave, h.order, target);
        fitted[at++] = centred.real();
        fitted[at++] = centred.imag();
      }
    }
    const Eigen::VectorXd gradient =
        problem.against_data() - problem.normal().leftCols(linear) * fitted;
    const Eigen::VectorXd change = solve(problem.normal(), gradient, damping);
    std::vector<Wave> tried = waves;
    double largest = 0.0;
    at = linear;
    for (Wave& wave : tried) {
      wave.roll += change[at];
      wave.bands += change[at + 1];
      largest = std::max({largest, std::abs(change[at]) * static_cast<double>(target.rows.frames),
                          std::abs(change[at + 1])});
      at += 2;
    }
    const double better = solve_amplitudes(tried, target, Problem(target, tried));
    if (!(better >= explained) || largest > 1.0) {
      damping = std::max(damping, 1e-6) * 10.0;
      if (damping > 1e4) break;
      continue;
    }
    waves = std::move(tried);
    explained = better;
    damping *= 0.1;
    if (largest < 1e-7) break;
  }
  for (Wave& wave : waves) make_customary(wave);
  take_uncertainties(waves, target, Problem(target, waves));
}

void scan_around(Wave& wave, const FitTarget& target) {
  const double roll_step = 0.125 / static_cast<double>(target.rows.frames);
  constexpr double bands_step = 0.125;
  Wave best = wave;
  double most = -1.0;
  for (int i = -6; i <= 6; ++i) {
    for (int j = -6; j <= 6; ++j) {
      std::vector<Wave> tried{wave};
      tried[0].roll += i * roll_step;
      tried[0].bands += j * bands_step;
      const double explained = solve_amplitudes(tried, target, Problem(target, tried));
      if (explained > most) {
        most = explained;
        best = tried[0];
      }
    }
  }
  wave = best;
}

}  // namespace lampbeat::footage
