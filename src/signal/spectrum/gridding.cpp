#include "signal/spectrum/gridding.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "arithmetic/phase.hpp"
#include "signal/spectrum/fft.hpp"

namespace lampbeat::signal::spectrum {

std::vector<std::complex<double>> gridded_transform(std::span<const double> place_turns,
                                                    std::span<const double> value,
                                                    std::size_t highest) {
  constexpr int spread = 12;  // grid points to each side, for about 12 digits
  const std::size_t modes = 2 * highest + 2;
  const std::size_t grid_size =
      fast_transform_size(std::max<std::size_t>(2 * modes, 4 * static_cast<std::size_t>(spread)));
  const double m = static_cast<double>(modes);
  const double g = static_cast<double>(grid_size);
  const double ratio = g / m;
  const double pi = std::numbers::pi;
  // Greengard & Lee eq. (9): the Gaussian's width that balances truncation and aliasing.
  const double tau = pi * spread / (m * m * ratio * (ratio - 0.5));

  const double step = 2.0 * pi / g;
  std::array<double, spread + 1> fixed{};
  for (int l = 0; l <= spread; ++l)
    fixed[static_cast<std::size_t>(l)] = std::exp(-(l * step) * (l * step) / (4.0 * tau));

  std::vector<double> grid(grid_size, 0.0);
  for (std::size_t j = 0; j < value.size(); ++j) {
    const double turns = arithmetic::begun_turn(place_turns[j]);
    const double at = turns * g;
    const double nearest = std::floor(at);
    const double off = (at - nearest) * step;
    const double centre = value[j] * std::exp(-off * off / (4.0 * tau));
    const double rise = std::exp(off * step / (2.0 * tau));
    const double fall = 1.0 / rise;
    const auto first = static_cast<long>(nearest);
    const auto size = static_cast<long>(grid_size);
    double up = centre;
    double down = centre;
    for (long l = 0; l <= spread; ++l) {
      const double shape = fixed[static_cast<std::size_t>(l)];
      grid[static_cast<std::size_t>((first + l) % size)] += up * shape;
      if (l > 0) grid[static_cast<std::size_t>((first - l + size) % size)] += down * shape;
      up *= rise;
      down *= fall;
    }
  }

  std::vector<std::complex<double>> transform = forward_transform(grid, grid_size);
  transform.resize(highest + 1);
  const double scale = std::sqrt(pi / tau) / g;
  for (std::size_t k = 0; k <= highest; ++k) {
    const double order = static_cast<double>(k);
    transform[k] *= scale * std::exp(tau * order * order);
  }
  return transform;
}

}  // namespace lampbeat::signal::spectrum
