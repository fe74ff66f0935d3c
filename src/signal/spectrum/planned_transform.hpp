#pragma once

#include <complex>
#include <cstddef>
#include <memory>

// The seam to the library that transforms: FFTW in the program, Eigen's in the browser page
// (src/page/seams), which FFTW's licence and size would weigh down.

namespace lampbeat::signal::spectrum {

enum class Direction { forward, inverse };

/// A transform of one size, planned once and safe to use from several threads. In place and
/// unnormalised. Of an even size, `size` reals are taken for half as many complex numbers and these
/// transformed; of an odd one, the reals become size/2 + 1 lines, or the lines the reals.
class PlannedTransform {
 public:
  PlannedTransform(std::size_t size, Direction direction);
  ~PlannedTransform();
  PlannedTransform(PlannedTransform&&) noexcept;
  PlannedTransform& operator=(PlannedTransform&&) noexcept;

  /// `numbers`: size/2 + 1 of them.
  void transform(std::complex<double>* numbers) const;

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace lampbeat::signal::spectrum
