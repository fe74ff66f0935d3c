#include "signal/spectrum/fft.hpp"

#include <fftw3.h>

#include <algorithm>
#include <map>
#include <memory>
#include <mutex>
#include <utility>

namespace lampbeat::signal::spectrum {
namespace {

struct FreeMemory {
  void operator()(void* memory) const { fftw_free(memory); }
};
using RealBuffer = std::unique_ptr<double[], FreeMemory>;
using ComplexBuffer = std::unique_ptr<fftw_complex[], FreeMemory>;

RealBuffer real_buffer(std::size_t n) { return RealBuffer(fftw_alloc_real(n)); }
ComplexBuffer complex_buffer(std::size_t n) { return ComplexBuffer(fftw_alloc_complex(n)); }

struct DestroyPlan {
  void operator()(fftw_plan plan) const { fftw_destroy_plan(plan); }
};
using Plan = std::shared_ptr<std::remove_pointer_t<fftw_plan>>;

/// Planning is the one part of FFTW that is not safe across threads; executing a plan on new
/// arrays of equal alignment is (FFTW manual, "Thread safety" and "New-array execute functions").
/// ESTIMATE: measuring costs seconds, more than any capture needs to be transformed.
enum class Direction { forward, inverse };
Plan plan_for(std::size_t size, Direction direction) {
  static std::mutex guard;
  static std::map<std::pair<std::size_t, Direction>, Plan> plans;
  constexpr std::size_t most_plans = 64;
  const std::lock_guard lock(guard);
  if (const auto known = plans.find({size, direction}); known != plans.end()) return known->second;
  const RealBuffer real = real_buffer(size);
  const ComplexBuffer complex = complex_buffer(size / 2 + 1);
  const int n = static_cast<int>(size);
  constexpr unsigned flags = FFTW_ESTIMATE | FFTW_DESTROY_INPUT;
  Plan plan(direction == Direction::forward
                ? fftw_plan_dft_r2c_1d(n, real.get(), complex.get(), flags)
                : fftw_plan_dft_c2r_1d(n, complex.get(), real.get(), flags),
            [](fftw_plan finished) { DestroyPlan{}(finished); });
  if (plans.size() >= most_plans) plans.clear();
  plans.emplace(std::pair{size, direction}, plan);
  return plan;
}

bool is_fast(std::size_t n) {
  if (n % 2 != 0) return false;
  for (const std::size_t factor : {2U, 3U, 5U, 7U}) {
    while (n % factor == 0) n /= factor;
  }
  return n == 1;
}

}  // namespace

std::size_t fast_transform_size(std::size_t n) {
  std::size_t size = std::max<std::size_t>(n + n % 2, 2);
  while (!is_fast(size)) size += 2;
  return size;
}

std::vector<std::complex<double>> forward_transform(std::span<const double> value,
                                                    std::size_t size) {
  if (size == 0) return {};
  const Plan plan = plan_for(size, Direction::forward);
  const RealBuffer in = real_buffer(size);
  const std::size_t filled = std::min(size, value.size());
  std::copy_n(value.begin(), filled, in.get());
  std::fill(in.get() + filled, in.get() + size, 0.0);
  const ComplexBuffer out = complex_buffer(size / 2 + 1);
  fftw_execute_dft_r2c(plan.get(), in.get(), out.get());
  std::vector<std::complex<double>> result(size / 2 + 1);
  for (std::size_t k = 0; k < result.size(); ++k) result[k] = {out[k][0], out[k][1]};
  return result;
}

std::vector<double> inverse_transform(std::span<const std::complex<double>> line,
                                      std::size_t size) {
  if (size == 0) return {};
  const Plan plan = plan_for(size, Direction::inverse);
  const ComplexBuffer in = complex_buffer(size / 2 + 1);
  const RealBuffer out = real_buffer(size);
  const std::size_t filled = std::min(size / 2 + 1, line.size());
  for (std::size_t k = 0; k < filled; ++k) {
    in[k][0] = line[k].real();
    in[k][1] = line[k].imag();
  }
  for (std::size_t k = filled; k <= size / 2; ++k) in[k][0] = in[k][1] = 0.0;
  fftw_execute_dft_c2r(plan.get(), in.get(), out.get());
  return std::vector<double>(out.get(), out.get() + size);
}

}  // namespace lampbeat::signal::spectrum
