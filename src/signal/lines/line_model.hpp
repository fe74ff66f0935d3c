#pragma once

#include <cmath>
#include <cstddef>
#include <optional>
#include <vector>

namespace lampbeat::signal::lines {

/// One term of a frequency: so many times a fundamental.
struct Tie {
  std::size_t fundamental = 0;  ///< place in LineModel::fundamental_hz
  int order = 1;
};

/// A sinusoid whose frequency hangs on one fundamental, order · F, or on two (a sideband),
/// order · F + beside->order · G.
struct TiedLine {
  std::size_t fundamental = 0;  ///< place of F in LineModel::fundamental_hz
  int order = 1;
  std::optional<Tie> beside = std::nullopt;  ///< the other rhythm's term, of a sideband only
};

/// Which sinusoids a window is thought to hold.
struct LineModel {
  std::vector<double> fundamental_hz;
  std::vector<TiedLine> lines;

  double hz(const TiedLine& line) const {
    double sum = line.order * fundamental_hz[line.fundamental];
    if (line.beside) sum += line.beside->order * fundamental_hz[line.beside->fundamental];
    return sum;
  }
};

}  // namespace lampbeat::signal::lines
