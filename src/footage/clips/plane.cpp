#include "footage/clips/plane.hpp"

#include <cmath>
#include <numbers>

namespace lampbeat::footage::clips {

double RowScale::gain(double bands) const {
  const double x = std::numbers::pi * bands * averaged / picture_rows;
  return std::abs(x) < 1e-9 ? 1.0 : std::sin(x) / x;
}

}  // namespace lampbeat::footage::clips
