#pragma once

#include <cstddef>
#include <vector>

#include "footage/rows/cells.hpp"

namespace lampbeat::footage::stretches {

/// Frames read and not yet analysed, with what is known of repeats among them.
class Pending {
 public:
  explicit Pending(rows::Cells empty_stretch) : cells_(std::move(empty_stretch)) {}

  /// The cells of a frame, and their rounding.
  void add(const std::vector<float>& frame, double rounding);
  /// A frame that is missing before the next.
  void add_gap();

  const rows::Cells& cells() const { return cells_; }
  /// Which frames hold the picture before them once more.
  const std::vector<bool>& repeated() const { return repeated_; }
  /// Equal pictures mean something where different ones differ nearly everywhere: under noise, or
  /// when much moves.
  bool judged() const;

  /// The first frames, out of the others.
  Pending take(std::size_t frames);

 private:
  rows::Cells cells_;
  std::vector<bool> repeated_;
  std::vector<float> last_;
  double changed_ = 0.0;    // sum of the shares of cells that changed, over differing frames
  double differing_ = 0.0;  // number of those
};

}  // namespace lampbeat::footage::stretches
