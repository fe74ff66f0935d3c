#pragma once

#include <cmath>
#include <complex>
#include <span>

#include "arithmetic/phase.hpp"
#include "reasoning/mixture/series.hpp"

// Turning the parts of a harmonic series through its cycle.

namespace lampbeat::reasoning::bands {

/// Of finite numbers: without the care for infinities that the operator takes.
inline std::complex<double> product(std::complex<double> a, std::complex<double> b) {
  return {a.real() * b.real() - a.imag() * b.imag(), a.real() * b.imag() + a.imag() * b.real()};
}

/// e^{2πi · order · cycles} for rising orders, each reached from the one before it by a few
/// multiplications, or anew after a wide gap.
class Turns {
 public:
  explicit Turns(double cycles) : cycles_(cycles), one_(turned_by(cycles)) {}

  std::complex<double> at(int order) {
    if (order < order_ || order > order_ + 8) {
      turned_ = turned_by(order * cycles_);
      order_ = order;
    }
    for (; order_ < order; ++order_) turned_ = product(turned_, one_);
    return turned_;
  }

 private:
  static std::complex<double> turned_by(double cycles) {
    return std::polar(1.0, arithmetic::turn * arithmetic::begun_turn(cycles));
  }

  double cycles_;
  std::complex<double> one_;
  std::complex<double> turned_ = 1.0;
  int order_ = 0;
};

/// The sum of harmonics, in rising order, `cycles` into their cycle.
inline double value_at(std::span<const mixture::Harmonic> harmonics, double cycles) {
  Turns turns(cycles);
  double value = 0.0;
  for (const mixture::Harmonic& h : harmonics)
    value += product(h.amplitude, turns.at(h.order)).real();
  return value;
}

}  // namespace lampbeat::reasoning::bands
