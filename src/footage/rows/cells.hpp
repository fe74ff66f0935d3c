#pragma once

#include <cstddef>
#include <cstdint>
#include <limits>
#include <optional>
#include <vector>

#include "footage/clips/plane.hpp"
#include "lampbeat/clip.hpp"

namespace lampbeat::footage::rows {

/// Stands where rows cannot be told anything: too dark, burnt out, too few strips.
inline constexpr double unusable = std::numeric_limits<double>::quiet_NaN();

/// A stretch of clip reduced to mean linear light per frame, row and strip of columns. Somebody
/// walking through the shot disturbs the strips where they are; the others still see the wall.
/// A cell that was burnt out is NaN.
struct Cells {
  clips::RowScale scale;
  TransferFunction transfer;  ///< by which the light was decoded
  std::size_t rows = 0;
  std::size_t strips = 0;
  std::vector<float> value;

  /// Rounding to code values that nothing dithered, relative to the light; 0 under noise.
  double rounding = 0.0;

  std::size_t frame_size() const { return rows * strips; }
  std::size_t frames() const { return value.size() / frame_size(); }
};

/// Reduces frames to cells: decodes each pixel to linear light first and averages then, since the
/// average of code values is not the code value of the average.
class FrameReducer {
 public:
  FrameReducer(const ClipFormat& format, const TransferFunction& transfer, bool full_range);

  /// An empty stretch of this clip's layout.
  Cells stretch() const;
  /// Appends one frame.
  void add(const std::vector<std::uint16_t>& luma, Cells& to);

  /// Share of all pixels so far that were as bright as this clip gets, 0 ... 1.
  double burnt_out_share() const;

 private:
  std::uint16_t ceiling_of(const std::vector<std::uint16_t>& luma) const;
  double rounding_of(const std::vector<std::uint16_t>& luma) const;

  std::size_t width_ = 0;
  int bits_ = 8;
  bool full_range_ = false;
  Cells layout_;
  std::vector<float> light_;              // of each code value
  std::vector<std::size_t> strip_to_;     // column at which each strip ends
  std::optional<std::uint16_t> ceiling_;  // code values from here on are burnt out
  std::uint64_t pixels_ = 0;
  std::uint64_t burnt_out_ = 0;
};

}  // namespace lampbeat::footage::rows
