#include "reasoning/bands/cycle.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <complex>
#include <experimental/simd>
#include <limits>

#include "arithmetic/phase.hpp"
#include "reasoning/bands/turns.hpp"

namespace lampbeat::reasoning::bands {
namespace {

struct Height {
  double value = 0.0, slope = 0.0, bend = 0.0;
};

Height height_at(std::span<const mixture::Harmonic> harmonics, double cycles) {
  Turns turns(cycles);
  Height height;
  for (const mixture::Harmonic& h : harmonics) {
    const double rate = arithmetic::turn * h.order;
    const std::complex<double> here = product(h.amplitude, turns.at(h.order));
    height.value += here.real();
    height.slope -= rate * here.imag();
    height.bend -= rate * rate * here.real();
  }
  return height;
}

/// The part of a pair's weighted difference that turns with its first sample.
std::complex<double> weighed(std::complex<double> amplitude, PairWeights w,
                             std::complex<double> turned) {
  return product(amplitude, w.first - w.second * turned);
}

/// One turn of a cosine in so many samples, kept by each thread: most have the fewest there are.
std::span<const double> cosine_cycle(int size) {
  constexpr std::size_t most_kept = 4;
  thread_local std::array<std::vector<double>, most_kept> kept;
  thread_local std::size_t oldest = 0;
  const auto samples = static_cast<std::size_t>(size);
  for (const std::vector<double>& cosine : kept) {
    if (cosine.size() == samples) return cosine;
  }
  std::vector<double>& next = kept[oldest];
  oldest = (oldest + 1) % most_kept;
  next.resize(samples);
  for (std::size_t i = 0; i < samples; ++i) {
    next[i] = std::cos(arithmetic::turn * static_cast<double>(i) / size);
  }
  return next;
}

/// Raises every shift's best to the greatest of weight · samples[i] − seconds[i + shift]. Shift by
/// shift in the inner loop, so that it runs on several at once. Built twice, for processors that
/// take eight floats at once and for all others; neither fuses a product and a sum, so that both
/// give the same to the last bit.
#if defined(__x86_64__) && defined(__GLIBC__) && !defined(__clang__) && \
    !defined(__SANITIZE_ADDRESS__)
[[gnu::target_clones("avx2", "default")]]
#endif
void raise_to_best(float* best, const float* samples, const float* seconds, float weight,
                   int size) {
  // Four samples at a time (the size is a multiple of 4), so that `best` is passed less often.
  for (int i = 0; i < size; i += 4) {
    const float* const first = samples + i;
    const float* const second = seconds + i;
    const float a = weight * first[0];
    const float b = weight * first[1];
    const float c = weight * first[2];
    const float d = weight * first[3];
    for (int shift = 0; shift < size; ++shift) {
      const float from_a = a - second[shift];
      const float from_b = b - second[shift + 1];
      const float from_c = c - second[shift + 2];
      const float from_d = d - second[shift + 3];
      const float ab = from_a > from_b ? from_a : from_b;
      const float cd = from_c > from_d ? from_c : from_d;
      const float most = ab > cd ? ab : cd;
      best[shift] = most > best[shift] ? most : best[shift];
    }
  }
}

}  // namespace

double best_phase_of_cosine(const mixture::Harmonic& cosine, PairWeights w, double cycles) {
  const auto difference = weighed(cosine.amplitude, w, Turns(cycles).at(cosine.order));
  return -std::arg(difference) / (arithmetic::turn * cosine.order);
}

Cycle::Cycle(const mixture::Series& series, double strong, Effort effort,
             std::pmr::memory_resource* memory)
    : hz_(series.hz),
      harmonics_(memory),
      pair_(memory),
      turned_(memory),
      samples_(memory),
      seconds_(memory),
      best_(memory) {
  const SearchParameters search = parameters_of(effort);
  int order = 1;
  harmonics_.reserve(series.harmonics.size());
  for (const mixture::Harmonic& h : series.harmonics) {
    const bool is_strong = std::norm(h.amplitude) >= strong * strong;
    if (is_strong) order = std::max(order, h.order);
    if (is_strong || search.weak_harmonics) harmonics_.push_back(h);
  }
  std::sort(
      harmonics_.begin(), harmonics_.end(),
      [](const mixture::Harmonic& a, const mixture::Harmonic& b) { return a.order < b.order; });
  size_ =
      std::clamp(search.samples_per_harmonic * order, search.fewest_samples, search.most_samples);
  size_ += (4 - size_ % 4) % 4;  // whole blocks for best_of_samples
  if (harmonics_.size() < 2) return;
  const auto whole = static_cast<std::size_t>(size_);
  samples_.assign(2 * whole, 0.0F);
  add_cycle<float>(harmonics_, std::span(samples_).first(whole));
  std::copy_n(samples_.begin(), size_, samples_.begin() + size_);
}

void Cycle::weigh(PairWeights w) {
  best_.assign(static_cast<std::size_t>(size_) + 2, 0.0F);
  if (harmonics_.size() == 1) {
    best_of_cosine(w);
  } else {
    best_of_samples(w);
  }
  const auto whole = static_cast<std::size_t>(size_);
  best_[whole] = best_[0];
  best_[whole + 1] = best_[1];
}

Cycle::Pair Cycle::best_pair(PairWeights w, double cycles) {
  turned_.clear();
  turned_.reserve(harmonics_.size());
  Turns apart(cycles);
  for (const mixture::Harmonic& h : harmonics_) turned_.push_back(apart.at(h.order));
  Pair pair;
  pair.phase = best_phase(w, cycles);
  Turns turns(pair.phase);
  for (std::size_t i = 0; i < harmonics_.size(); ++i) {
    const std::complex<double> first =
        product(harmonics_[i].amplitude, turns.at(harmonics_[i].order));
    pair.first += first.real();
    pair.second += product(first, turned_[i]).real();
  }
  return pair;
}

double Cycle::best_phase(PairWeights w, double cycles) {
  if (harmonics_.size() == 1) return best_phase_of_cosine(harmonics_[0], w, cycles);
  pair_.clear();
  pair_.reserve(harmonics_.size());
  for (std::size_t i = 0; i < harmonics_.size(); ++i) {
    const mixture::Harmonic& h = harmonics_[i];
    pair_.push_back({h.order, weighed(h.amplitude, w, turned_[i])});
  }
  double phase = sampled_best_phase(w, cycles);
  Height here = height_at(pair_, phase);
  for (int round = 0; round < 4 && here.bend < 0.0; ++round) {
    const double step = std::clamp(-here.slope / here.bend, -0.5 / size_, 0.5 / size_);
    const Height next = height_at(pair_, phase + step);
    if (next.value <= here.value) break;
    phase += step;
    const bool settled = next.value <= here.value + 1e-9 * std::abs(here.value);
    here = next;
    if (settled) break;
  }
  return phase;
}

/// Everywhere at once.
void Cycle::best_of_cosine(PairWeights w) {
  const mixture::Harmonic& h = harmonics_[0];
  const std::span<const double> cosine = cosine_cycle(size_);
  const double amplitude = std::abs(h.amplitude);
  const double squares = w.first * w.first + w.second * w.second;
  const double twice = 2.0 * w.first * w.second;
  const auto step = static_cast<std::size_t>(h.order % size_);
  std::size_t at = 0;  // the harmonic turns so many times as fast as the cycle
  for (float& best : std::span(best_).first(cosine.size())) {
    best = static_cast<float>(amplitude * std::sqrt(std::max(0.0, squares - twice * cosine[at])));
    at += step;
    if (at >= cosine.size()) at -= cosine.size();
  }
}

/// The best phase among the samples, the second of the pair read between them: where to start
/// from, good to a fraction of a sample.
double Cycle::sampled_best_phase(PairWeights w, double cycles) const {
  const double place = cycles * size_;
  const auto whole = std::min(static_cast<std::size_t>(place), samples_.size() / 2 - 1);
  const double part = place - static_cast<double>(whole);
  const auto first = static_cast<float>(w.first);
  const auto before = static_cast<float>(w.second * (1.0 - part));
  const auto after = static_cast<float>(w.second * part);
  const float* const one = samples_.data();
  const float* const other = one + whole;
  // Side by side, every lane with its own best; of equals the first.
  using Lanes = std::experimental::native_simd<float>;
  constexpr auto in_place = std::experimental::element_aligned;
  const auto size = static_cast<std::size_t>(size_);
  Lanes highest = std::numeric_limits<float>::lowest();
  Lanes at = 0.0F;
  std::size_t i = 0;
  for (; i + Lanes::size() <= size; i += Lanes::size()) {
    const Lanes sum = first * Lanes(one + i, in_place) - before * Lanes(other + i, in_place) -
                      after * Lanes(other + i + 1, in_place);
    const auto higher = sum > highest;
    where(higher, highest) = sum;
    where(higher, at) = static_cast<float>(i);
  }
  float most = std::numeric_limits<float>::lowest();
  std::size_t best = 0;
  for (std::size_t lane = 0; lane < Lanes::size(); ++lane) {
    const std::size_t found = static_cast<std::size_t>(at[lane]) + lane;
    if (highest[lane] < most || (highest[lane] == most && found > best)) continue;
    most = highest[lane];
    best = found;
  }
  for (; i < size; ++i) {
    const float sum = first * one[i] - before * other[i] - after * other[i + 1];
    if (sum <= most) continue;
    most = sum;
    best = i;
  }
  return static_cast<double>(best) / size_;
}

void Cycle::best_of_samples(PairWeights w) {
  const auto weight = static_cast<float>(w.second);
  seconds_.resize(samples_.size());
  for (std::size_t i = 0; i < samples_.size(); ++i) seconds_[i] = weight * samples_[i];
  std::fill(best_.begin(), best_.end(), std::numeric_limits<float>::lowest());
  raise_to_best(best_.data(), samples_.data(), seconds_.data(), static_cast<float>(w.first), size_);
}

}  // namespace lampbeat::reasoning::bands
