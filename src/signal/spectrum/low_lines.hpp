#pragma once

#include <complex>
#include <cstddef>
#include <span>
#include <vector>

namespace lampbeat::signal::spectrum {

/// Whether low_lines is worth its while: a short record, or one with few samples a line, is
/// transformed whole, exactly and about as quickly.
bool few_lines(std::size_t samples, std::size_t highest);

/// The lowest lines of a long record's transform, X_k = Σ x_n exp(−2πi k n / N) for k = 0 ..
/// highest, without transforming the whole record, whatever the factors of its length. The record,
/// closed to a circle, is gathered onto a few even points through a Kaiser-Bessel window whose
/// droop is then taken out (Jackson et al., IEEE Trans. Medical Imaging 10(3), 1991). Good to about
/// a thousandth of the highest line and a millionth of the low ones. Needs few_lines.
std::vector<std::complex<double>> low_lines(std::span<const double> value, std::size_t highest);

}  // namespace lampbeat::signal::spectrum
