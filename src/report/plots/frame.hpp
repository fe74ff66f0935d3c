#pragma once

#include <cmath>
#include <string>
#include <vector>

#include "report/plots/svg.hpp"

namespace lampbeat::report::plots {

/// One axis: data values from `low` to `high` onto drawing coordinates `from` to `to`.
struct Axis {
  double low = 0.0;
  double high = 1.0;
  double from = 0.0;
  double to = 1.0;
  bool logarithmic = false;
  double at(double value) const {
    const double part =
        logarithmic ? std::log(value / low) / std::log(high / low) : (value - low) / (high - low);
    return from + part * (to - from);
  }
};

/// Size of the plots, in drawing units: small enough that two stand side by side on a sheet and
/// that the lettering stays readable on a telephone.
inline constexpr double plot_width = 440.0;
inline constexpr double plot_height = 280.0;

/// Grid lines with their numbers, and the axes' names with units.
void draw_grid(Svg& svg, const Axis& x, const std::vector<double>& x_ticks,
               const std::string& x_name, const Axis& y, const std::vector<double>& y_ticks,
               const std::string& y_name);

}  // namespace lampbeat::report::plots
