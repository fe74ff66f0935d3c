#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <complex>
#include <cstddef>
#include <span>

#include "arithmetic/phase.hpp"
#include "reasoning/mixture/series.hpp"

// Turning the parts of a harmonic series through its cycle.

namespace lampbeat::reasoning::bands {

/// Of finite numbers: without the care for infinities that the operator takes.
inline std::complex<double> product(std::complex<double> a, std::complex<double> b) {
  return {a.real() * b.real() - a.imag() * b.imag(), a.real() * b.imag() + a.imag() * b.real()};
}

/// e^{2πi · order · cycles} for rising orders: four in a row are reached together from the four
/// before them by one multiplication each, which need not wait for each other, or anew after a wide
/// gap.
class Turns {
 public:
  explicit Turns(double cycles) : cycles_(cycles) {
    const std::complex<double> one = turned_by(cycles);
    const std::complex<double> two = product(one, one);
    turned_ = {one, two, product(two, one), product(two, two)};
    ahead_ = turned_;
  }

  std::complex<double> at(int order) {
    if (order < first_ || order > first_ + widest_gap) begin_at(order);
    for (; order >= first_ + abreast; first_ += abreast) {
      for (std::complex<double>& turned : turned_) turned = product(turned, ahead_.back());
    }
    return turned_[static_cast<std::size_t>(order - first_)];
  }

 private:
  static constexpr int abreast = 4;
  static constexpr int widest_gap = 16;

  static std::complex<double> turned_by(double cycles) {
    return std::polar(1.0, arithmetic::turn * arithmetic::begun_turn(cycles));
  }

  void begin_at(int order) {
    first_ = order;
    turned_[0] = turned_by(order * cycles_);
    for (std::size_t i = 1; i < abreast; ++i) turned_[i] = product(turned_[0], ahead_[i - 1]);
  }

  double cycles_;
  std::array<std::complex<double>, abreast> ahead_;   ///< by one order, two, three and four
  std::array<std::complex<double>, abreast> turned_;  ///< of `first_` and those after it
  int first_ = 1;
};

/// Adds one cycle of the harmonics to `sums`, which are spread evenly over it. Some harmonics at a
/// time, which turn side by side; every sum still adds them in their order.
template <typename Value>
void add_cycle(std::span<const mixture::Harmonic> harmonics, std::span<Value> sums) {
  constexpr std::size_t abreast = 4;
  const double parts = static_cast<double>(sums.size());
  for (std::size_t first = 0; first < harmonics.size(); first += abreast) {
    std::array<double, abreast> re{}, im{}, step_re{}, step_im{};
    const std::size_t count = std::min(abreast, harmonics.size() - first);
    for (std::size_t k = 0; k < count; ++k) {
      const mixture::Harmonic& h = harmonics[first + k];
      const std::complex<double> step = std::polar(1.0, arithmetic::turn * h.order / parts);
      re[k] = h.amplitude.real();
      im[k] = h.amplitude.imag();
      step_re[k] = step.real();
      step_im[k] = step.imag();
    }
    for (Value& sum : sums) {
      for (std::size_t k = 0; k < abreast; ++k) {
        sum += static_cast<Value>(re[k]);
        const double turned = re[k] * step_re[k] - im[k] * step_im[k];
        im[k] = re[k] * step_im[k] + im[k] * step_re[k];
        re[k] = turned;
      }
    }
  }
}

}  // namespace lampbeat::reasoning::bands
