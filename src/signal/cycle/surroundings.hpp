#pragma once

#include <cstddef>
#include <vector>

#include "signal/cycle/cell_polynomial.hpp"

namespace lampbeat::signal::cycle {

/// A polynomial of second order describes no more than an eighth of a cycle to either side: a sine
/// there is still within 1 % of its swing of the parabola.
inline constexpr double widest_reach = 0.125;
/// Cells to either side over which the flanks of a cusp are straight.
inline constexpr std::size_t flank = 4;

/// Cells around an extreme one, along the first rhythm or along the second.
class Surroundings {
 public:
  /// At most so many filled cells to either side; keeps a reference to the fold.
  Surroundings(const Fold& fold, std::size_t cell, bool along_first,
               std::size_t most = finest_division);

  bool along_first() const { return along_first_; }
  /// How many cells to either side a crest may cover.
  std::size_t crest() const { return crest_; }
  /// Cells of a whole cycle, along and across.
  std::size_t length() const;
  std::size_t width() const;
  const std::vector<Neighbour>& before() const { return before_; }  ///< filled ones, nearest first
  const std::vector<Neighbour>& after() const { return after_; }

  /// The extreme cell with so many filled ones before and after it; empty when there are not.
  std::vector<Neighbour> strip(std::size_t before, std::size_t after) const;
  /// All filled cells at most so far away along and across.
  std::vector<Neighbour> patch(std::size_t along, std::size_t across) const;

 private:
  std::size_t step(int side, std::size_t distance, std::ptrdiff_t across) const;

  const Fold& fold_;
  std::size_t cell_;
  bool along_first_;
  std::size_t crest_ = 0;
  std::vector<Neighbour> before_, after_;
};

}  // namespace lampbeat::signal::cycle
