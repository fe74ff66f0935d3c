#pragma once

#include <cstdint>
#include <random>

namespace lampbeat::synth {

/// Random numbers that are the same on every machine. The engine is fixed by the C++ standard;
/// std::normal_distribution and std::uniform_real_distribution are not: each standard library may
/// draw its own way, and a practice capture must be re-made byte for byte from its seed.
class Random {
 public:
  explicit Random(std::uint64_t seed) : engine_(seed) {}
  /// Uniform in [0, 1), 53 random bits.
  double uniform();
  /// Standard normal deviate (Box & Muller, Annals of Mathematical Statistics 29(2), 1958).
  double normal();

 private:
  std::mt19937_64 engine_;
  double spare_ = 0.0;
  bool has_spare_ = false;
};

}  // namespace lampbeat::synth
