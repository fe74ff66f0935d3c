#pragma once

#include <array>
#include <cstdint>
#include <span>
#include <vector>

// The parts of the light flickermeter (IEC TR 61547-1, statistics of IEC 61000-4-15): decimation,
// weighting filters, classifier.

namespace lampbeat::signal::standards {

/// A digital filter of order up to 4, transposed direct form II.
class Filter {
 public:
  static constexpr std::size_t most = 5;
  using Polynomial = std::array<double, most>;  ///< coefficients of s^0, s^1, ... s^4

  /// The bilinear transform of numerator(s)/denominator(s), exact at `exact_hz`.
  Filter(const Polynomial& numerator, const Polynomial& denominator, double rate_hz,
         double exact_hz);
  double operator()(double x) {
    const double y = b_[0] * x + state_[0];
    for (std::size_t i = 1; i + 1 < most; ++i) {
      state_[i - 1] = b_[i] * x - a_[i] * y + state_[i];
    }
    state_[most - 2] = b_[most - 1] * x - a_[most - 1] * y;
    return y;
  }
  /// Magnitude of the response.
  double gain(double hz, double rate_hz) const;

 private:
  Polynomial b_{}, a_{};
  std::array<double, most - 1> state_{};
};

/// High-pass 0.05 Hz, Butterworth low-pass 35 Hz, and the eye and brain seeing light: everything
/// before the squarer.
class Weighting {
 public:
  explicit Weighting(double rate_hz);
  double operator()(double x) {
    for (Filter& f : filters_) x = f(x);
    return x;
  }
  double gain(double hz) const;

 private:
  double rate_hz_;
  std::vector<Filter> filters_;
};

/// Averages consecutive stretches of `factor` samples with a window that is `order` boxes of that
/// length convolved: everything near a multiple of the new rate, which would fold onto slow
/// flicker, falls to the `order`-th power of its distance.
class Decimator {
 public:
  Decimator(std::size_t factor, std::size_t order);
  /// Appends the decimated samples to `out`.
  void feed(std::span<const double> value, std::vector<double>& out);

 private:
  std::span<const double> feed_whole_pairs(std::span<const double> value, std::vector<double>& out);

  std::size_t factor_, order_;
  std::vector<std::vector<double>> weight_;  ///< one stretch of the window each
  std::vector<double> partial_;              ///< sums of the outputs under way
  std::size_t filled_ = 0;                   ///< samples in the present stretch
  std::size_t stretches_ = 0;
};

/// Counts levels in logarithmic classes, 128 per octave, and interpolates between them.
class Classifier {
 public:
  void add(double level);
  std::uint64_t count() const { return total_; }
  /// The level exceeded during `percent` of the time.
  double exceeded(double percent) const;

 private:
  void change_class(double level);

  std::vector<std::uint64_t> classes_;  ///< from `lowest_` upwards
  int lowest_ = 0;
  /// The latest level's, and its borders: the next is mostly in it too.
  std::size_t latest_ = 0;
  double from_ = 0.0;
  double to_ = 0.0;
  std::uint64_t zeros_ = 0;
  std::uint64_t total_ = 0;
};

}  // namespace lampbeat::signal::standards
