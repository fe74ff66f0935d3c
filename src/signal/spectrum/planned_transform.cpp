#include "signal/spectrum/planned_transform.hpp"

#include <fftw3.h>

#include <mutex>
#include <type_traits>
#include <utility>
#include <vector>

namespace lampbeat::signal::spectrum {
namespace {

/// Making and destroying plans is the one part of FFTW that is not safe across threads; executing a
/// plan on new arrays is (FFTW manual, "Thread safety" and "New-array execute functions").
std::mutex& planning() {
  static std::mutex guard;
  return guard;
}

struct DestroyPlan {
  void operator()(fftw_plan plan) const {
    const std::lock_guard lock(planning());
    fftw_destroy_plan(plan);
  }
};
using PlanHandle = std::unique_ptr<std::remove_pointer_t<fftw_plan>, DestroyPlan>;

fftw_complex* fftw_numbers(std::complex<double>* values) {
  return reinterpret_cast<fftw_complex*>(values);  // [complex.numbers.general]
}

double* fftw_reals(std::complex<double>* values) { return reinterpret_cast<double*>(values); }

}  // namespace

struct PlannedTransform::State {
  std::size_t size = 0;
  Direction direction = Direction::forward;
  PlanHandle plan;
};

/// ESTIMATE: measuring costs seconds, more than any capture needs to be transformed.
PlannedTransform::PlannedTransform(std::size_t size, Direction direction)
    : state_(std::make_unique<State>()) {
  state_->size = size;
  state_->direction = direction;
  std::vector<std::complex<double>> record(size / 2 + 1);
  fftw_complex* const numbers = fftw_numbers(record.data());
  double* const reals = fftw_reals(record.data());
  constexpr unsigned flags = FFTW_ESTIMATE;
  const bool forward = direction == Direction::forward;
  const int n = static_cast<int>(size);
  const std::lock_guard lock(planning());
  if (size % 2 == 0) {
    state_->plan.reset(
        fftw_plan_dft_1d(n / 2, numbers, numbers, forward ? FFTW_FORWARD : FFTW_BACKWARD, flags));
  } else {
    state_->plan.reset(forward ? fftw_plan_dft_r2c_1d(n, reals, numbers, flags)
                               : fftw_plan_dft_c2r_1d(n, numbers, reals, flags));
  }
}

PlannedTransform::~PlannedTransform() = default;
PlannedTransform::PlannedTransform(PlannedTransform&&) noexcept = default;
PlannedTransform& PlannedTransform::operator=(PlannedTransform&&) noexcept = default;

void PlannedTransform::transform(std::complex<double>* numbers) const {
  if (state_->size % 2 == 0) {
    fftw_execute_dft(state_->plan.get(), fftw_numbers(numbers), fftw_numbers(numbers));
  } else if (state_->direction == Direction::forward) {
    fftw_execute_dft_r2c(state_->plan.get(), fftw_reals(numbers), fftw_numbers(numbers));
  } else {
    fftw_execute_dft_c2r(state_->plan.get(), fftw_numbers(numbers), fftw_reals(numbers));
  }
}

}  // namespace lampbeat::signal::spectrum
