#include "signal/spectrum/planned_transform.hpp"

#include <unsupported/Eigen/FFT>

#include <algorithm>
#include <vector>

// Eigen's own transforms (kissfft) instead of FFTW's.

namespace lampbeat::signal::spectrum {

struct PlannedTransform::State {
  using Complex = std::complex<double>;
  std::size_t size = 0;
  Direction direction = Direction::forward;
  // Both grow when they are first used; the page has one thread.
  Eigen::internal::kissfft_impl<double> kissfft;
  std::vector<Complex> scratch;

  void transform_complex(Complex* into, const Complex* from, std::size_t count) {
    const int n = static_cast<int>(count);
    if (direction == Direction::forward) {
      kissfft.fwd(into, from, n);
    } else {
      kissfft.inv(into, from, n);
    }
  }

  void transform_pairs(Complex* numbers) {
    scratch.assign(numbers, numbers + size / 2);
    transform_complex(numbers, scratch.data(), size / 2);
  }

  void transform_odd(Complex* numbers) {
    auto* const reals = reinterpret_cast<double*>(numbers);  // [complex.numbers.general]
    std::vector<Complex> all(size);
    if (direction == Direction::forward) {
      std::copy_n(reals, size, all.begin());
    } else {
      all[0] = numbers[0].real();
      for (std::size_t k = 1; k <= size / 2; ++k) {
        all[k] = numbers[k];
        all[size - k] = std::conj(numbers[k]);
      }
    }
    scratch.resize(size);
    transform_complex(scratch.data(), all.data(), size);
    if (direction == Direction::forward) {
      std::copy_n(scratch.begin(), size / 2 + 1, numbers);
    } else {
      std::transform(scratch.begin(), scratch.end(), reals, [](Complex x) { return x.real(); });
    }
  }
};

PlannedTransform::PlannedTransform(std::size_t size, Direction direction)
    : state_(std::make_unique<State>()) {
  state_->size = size;
  state_->direction = direction;
}

PlannedTransform::~PlannedTransform() = default;
PlannedTransform::PlannedTransform(PlannedTransform&&) noexcept = default;
PlannedTransform& PlannedTransform::operator=(PlannedTransform&&) noexcept = default;

void PlannedTransform::transform(std::complex<double>* numbers) const {
  if (state_->size % 2 == 0) {
    state_->transform_pairs(numbers);
  } else {
    state_->transform_odd(numbers);
  }
}

}  // namespace lampbeat::signal::spectrum
