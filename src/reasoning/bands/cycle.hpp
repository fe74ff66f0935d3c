#pragma once

#include <complex>
#include <cstddef>
#include <cstdint>
#include <memory_resource>
#include <span>
#include <vector>

#include "reasoning/bands/effort.hpp"
#include "reasoning/mixture/series.hpp"

namespace lampbeat::reasoning::bands {

/// What the two samples of a pair weigh: contrast c is reached when
/// Σ [(1 − c) · first − (1 + c) · second] = 2c.
struct PairWeights {
  explicit PairWeights(double contrast) : first(1.0 - contrast), second(1.0 + contrast) {}
  double first, second;
};

/// The phase, in cycles of its series, at which a pair so many cycles of it apart differs most when
/// this harmonic is all there is.
double best_phase_of_cosine(const mixture::Harmonic& cosine, PairWeights w, double cycles);

/// One cycle of a series in samples, and for every shift the best a pair that far apart can do.
class Cycle {
 public:
  /// `strong`: harmonics from here on decide how finely the cycle is sampled; weaker ones count
  /// too, except in a quick look.
  /// `memory` has to outlive it.
  Cycle(const mixture::Series& series, double strong, Effort effort,
        std::pmr::memory_resource* memory);

  bool empty() const { return harmonics_.empty(); }
  double hz() const { return hz_; }
  std::span<const mixture::Harmonic> harmonics() const { return harmonics_; }  ///< in rising order

  /// Finds the best weighted difference for every shift.
  void weigh(PairWeights w);

  /// How far into the table of shifts a pair `cycles` apart (0 ... 1, both included) is read.
  double place(double cycles) const { return cycles * size_; }

  /// Best weighted difference of a pair that is read there, `part` of the way between two shifts.
  float best(std::int32_t shift, float part) const {
    const float* const at = best_.data() + shift;
    return at[0] + part * (at[1] - at[0]);
  }

  /// The pair exactly `cycles` apart that differs most.
  struct Pair {
    double phase = 0.0;  ///< of the first, cycles
    double first = 0.0, second = 0.0;
  };
  Pair best_pair(PairWeights w, double cycles);

 private:
  void best_of_cosine(PairWeights w);
  double best_phase(PairWeights w, double cycles);
  double sampled_best_phase(PairWeights w, double cycles) const;
  void best_of_samples(PairWeights w);

  double hz_;
  std::pmr::vector<mixture::Harmonic> harmonics_;
  std::pmr::vector<mixture::Harmonic> pair_;       ///< of the weighted difference looked at last
  std::pmr::vector<std::complex<double>> turned_;  ///< every harmonic from its first to its second
  int size_ = 0;
  std::pmr::vector<float> samples_;  ///< the cycle twice over
  std::pmr::vector<float> seconds_;  ///< the same, as the second of a pair weighs
  std::pmr::vector<float> best_;     ///< by shift, and the first two once more
};

}  // namespace lampbeat::reasoning::bands
