#include "signal/standards/flickermeter.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>

#include "arithmetic/lanes.hpp"
#include "arithmetic/phase.hpp"

namespace lampbeat::signal::standards {
namespace {

/// A class is 0.54 % wide; Pst, a root, is then right to 0.14 %, where IEC 61000-4-15 allows 5 %
/// (from memory).
constexpr int classes_per_octave = 128;

using Polynomial = Filter::Polynomial;

Polynomial product(const Polynomial& p, const Polynomial& q) {
  Polynomial r{};
  for (std::size_t i = 0; i < p.size(); ++i) {
    for (std::size_t j = 0; i + j < r.size(); ++j) r[i + j] += p[i] * q[j];
  }
  return r;
}

int degree(const Polynomial& p) {
  int d = static_cast<int>(p.size()) - 1;
  while (d > 0 && p[static_cast<std::size_t>(d)] == 0.0) --d;
  return d;
}

/// p(c (1 − x)/(1 + x)) · (1 + x)^n as a polynomial in x = z^-1.
Polynomial bilinear(const Polynomial& p, double c, int n) {
  Polynomial sum{};
  for (int i = 0; i <= n; ++i) {
    Polynomial term{p[static_cast<std::size_t>(i)] * std::pow(c, i)};
    for (int k = 0; k < i; ++k) term = product(term, {1.0, -1.0});
    for (int k = i; k < n; ++k) term = product(term, {1.0, 1.0});
    for (std::size_t k = 0; k < sum.size(); ++k) sum[k] += term[k];
  }
  return sum;
}

/// One pair of poles of the sixth-order Butterworth low-pass.
Filter butterworth_pair(int pair, double corner_hz, double rate_hz) {
  const double w = arithmetic::turn * corner_hz;
  const double damping = 2.0 * std::sin((2.0 * pair + 1.0) * std::numbers::pi / 12.0);
  return Filter({w * w}, {w * w, damping * w, 1.0}, rate_hz, corner_hz);
}

}  // namespace

Filter::Filter(const Polynomial& numerator, const Polynomial& denominator, double rate_hz,
               double exact_hz) {
  const double w = arithmetic::turn * exact_hz;
  const double c = w / std::tan(w / (2.0 * rate_hz));
  const int n = degree(denominator);
  b_ = bilinear(numerator, c, n);
  a_ = bilinear(denominator, c, n);
  const double lead = a_[0];
  for (double& x : b_) x /= lead;
  for (double& x : a_) x /= lead;
}

double Filter::gain(double hz, double rate_hz) const {
  const std::complex<double> x = std::polar(1.0, -arithmetic::turn * hz / rate_hz);
  std::complex<double> above = 0.0, below = 0.0;
  for (std::size_t i = most; i-- > 0;) {
    above = above * x + b_[i];
    below = below * x + a_[i];
  }
  return std::abs(above / below);
}

// Corners: IEC 61000-4-15, block 3 (the high-pass read in a preview, the low-pass from memory). Eye
// and brain with the lamp taken out: coefficients from memory, after Drápela & Šlezingr, "A Light-
// flickermeter", Electric Power Engineering 2010; dividing the standard's 230 V weighting by them
// leaves the response of a 60 W lamp, and the standard's performance test comes out right.
Weighting::Weighting(double rate_hz) : rate_hz_(rate_hz) {
  constexpr double high_pass_hz = 0.05;
  constexpr double low_pass_hz = 35.0;
  constexpr double most_sensitive_hz = 8.8;  // of eye and brain
  filters_.emplace_back(Polynomial{0.0, 1.0}, Polynomial{arithmetic::turn * high_pass_hz, 1.0},
                        rate_hz, high_pass_hz);
  for (int pair = 0; pair < 3; ++pair) {
    filters_.push_back(butterworth_pair(pair, low_pass_hz, rate_hz));
  }
  filters_.emplace_back(Polynomial{0.0, 29839.0, 2715.6, 44.758, 0.041661},
                        Polynomial{3505380.0, 534820.0, 11781.0, 196.32, 1.0}, rate_hz,
                        most_sensitive_hz);
}

double Weighting::gain(double hz) const {
  double g = 1.0;
  for (const Filter& f : filters_) g *= f.gain(hz, rate_hz_);
  return g;
}

Decimator::Decimator(std::size_t factor, std::size_t order)
    : factor_(std::max<std::size_t>(1, factor)), order_(order), partial_(order, 0.0) {
  // The window: boxes convolved. Padded to a whole number of stretches.
  std::vector<double> window{1.0};
  for (std::size_t k = 0; k < order_; ++k) {
    std::vector<double> wider(window.size() + factor_ - 1, 0.0);
    for (std::size_t i = 0; i < window.size(); ++i) {
      for (std::size_t j = 0; j < factor_; ++j) {
        wider[i + j] += window[i] / static_cast<double>(factor_);
      }
    }
    window = std::move(wider);
  }
  window.resize(order_ * factor_, 0.0);
  for (std::size_t k = 0; k < order_; ++k) {
    const auto from = window.begin() + static_cast<std::ptrdiff_t>(k * factor_);
    weight_.emplace_back(from, from + static_cast<std::ptrdiff_t>(factor_));
  }
}

/// The usual case without its generality: two boxes, and a whole stretch at hand.
std::span<const double> Decimator::feed_whole_pairs(std::span<const double> value,
                                                    std::vector<double>& out) {
  const double* rising = weight_[0].data();
  const double* falling = weight_[1].data();
  double under_way = partial_[0];
  std::size_t used = 0;
  for (; used + factor_ <= value.size(); used += factor_) {
    const double* x = value.data() + used;
    double due = 0.0;
    double begun = 0.0;
    for (std::size_t i = 0; i < factor_; ++i) {
      due += falling[i] * x[i];
      begun += rising[i] * x[i];
    }
    if (++stretches_ >= 2) out.push_back(under_way + due);
    under_way = begun;
  }
  partial_[0] = under_way;
  return value.subspan(used);
}

void Decimator::feed(std::span<const double> value, std::vector<double>& out) {
  while (!value.empty()) {
    if (order_ == 2 && filled_ == 0) {
      value = feed_whole_pairs(value, out);
      if (value.empty()) return;
    }
    const std::size_t n = std::min(value.size(), factor_ - filled_);
    // Output k, due in order − 1 − k stretches' time, sees this stretch through part k from its
    // end.
    for (std::size_t k = 0; k < order_; ++k) {
      const auto weight = std::span<const double>(weight_[order_ - 1 - k]).subspan(filled_, n);
      partial_[k] += arithmetic::sum_of_products(weight, value.first(n));
    }
    filled_ += n;
    value = value.subspan(n);
    if (filled_ < factor_) break;
    filled_ = 0;
    if (++stretches_ >= order_) out.push_back(partial_[0]);
    std::rotate(partial_.begin(), partial_.begin() + 1, partial_.end());
    partial_.back() = 0.0;
  }
}

void Classifier::add(double level) {
  ++total_;
  if (!(level > 1e-300)) {
    ++zeros_;
    return;
  }
  if (!(level >= from_ && level < to_)) change_class(level);
  ++classes_[latest_];
}

void Classifier::change_class(double level) {
  const int of_level = static_cast<int>(std::floor(std::log2(level) * classes_per_octave));
  if (classes_.empty()) lowest_ = of_level;
  if (of_level < lowest_) {
    classes_.insert(classes_.begin(), static_cast<std::size_t>(lowest_ - of_level), 0);
    lowest_ = of_level;
  }
  latest_ = static_cast<std::size_t>(of_level - lowest_);
  if (latest_ >= classes_.size()) classes_.resize(latest_ + 1);
  const auto border = [](double of) { return std::exp2(of / classes_per_octave); };
  from_ = border(of_level);
  to_ = border(of_level + 1.0);
}

double Classifier::exceeded(double percent) const {
  const double wanted = static_cast<double>(total_) * percent / 100.0;
  double above = 0.0;
  for (std::size_t c = classes_.size(); c-- > 0;) {
    const auto n = static_cast<double>(classes_[c]);
    if (n > 0.0 && above + n >= wanted) {
      const double into = (wanted - above) / n;  // from the class's upper border downwards
      const double border = static_cast<double>(lowest_) + static_cast<double>(c) + 1.0;
      return std::exp2((border - into) / classes_per_octave);
    }
    above += n;
  }
  return 0.0;
}

}  // namespace lampbeat::signal::standards
