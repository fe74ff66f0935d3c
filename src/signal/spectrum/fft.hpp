#pragma once

#include <complex>
#include <cstddef>
#include <span>
#include <vector>

namespace lampbeat::signal::spectrum {

/// The smallest size of at least `n` that transforms fast (only factors 2, 3, 5 and 7, and even).
std::size_t fast_transform_size(std::size_t n);

/// Unnormalised forward transform of real values: X_k = Σ x_n exp(−2πi k n / size) for
/// k = 0 .. size/2. Values beyond the end of `value` up to `size` count as zero.
/// Safe to call from several threads at once.
std::vector<std::complex<double>> forward_transform(std::span<const double> value,
                                                    std::size_t size);

/// A record's numbers as the reals they consist of.
inline std::span<double> reals_of(std::vector<std::complex<double>>& record) {
  return {reinterpret_cast<double*>(record.data()),
          2 * record.size()};  // [complex.numbers.general]
}

/// The same without a copy: the first `size` of the record's reals become its size/2 + 1 lines, as
/// many as it has numbers. Size > 0. Safe to call from several threads at once.
void transform_in_place(std::vector<std::complex<double>>& record, std::size_t size);

/// The real record of `size` values that has these lines, unnormalised: x_n = Σ X_k exp(2πi k n /
/// size), lines from 0 upwards, their conjugates at negative frequencies, zero beyond the end of
/// `line`. At most size/2 + 1 lines. Safe to call from several threads at once.
std::vector<double> inverse_transform(std::span<const std::complex<double>> line, std::size_t size);

}  // namespace lampbeat::signal::spectrum
