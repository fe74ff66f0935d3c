#include "footage/clips/plane.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace lampbeat::footage {

double RowScale::gain(double bands) const {
  const double x = std::numbers::pi * bands * averaged / picture_rows;
  return std::abs(x) < 1e-9 ? 1.0 : std::sin(x) / x;
}

double median(std::vector<double>& values) {
  if (values.empty()) return std::numeric_limits<double>::quiet_NaN();
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  if (values.size() % 2 != 0) return *middle;
  return 0.5 * (*middle + *std::max_element(values.begin(), middle));
}

}  // namespace lampbeat::footage
