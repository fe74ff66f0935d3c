#pragma once

#include <cstddef>
#include <cstdint>
#include <limits>
#include <memory>
#include <optional>
#include <span>
#include <vector>

#include "footage/clips/plane.hpp"
#include "footage/rows/kept_light.hpp"
#include "lampbeat/clip.hpp"

namespace lampbeat::footage::rows {

/// Stands where rows cannot be told anything: too dark, burnt out, too few strips.
inline constexpr double unusable = std::numeric_limits<double>::quiet_NaN();

/// A stretch of clip reduced to mean linear light per frame, row and strip of columns. Somebody
/// walking through the shot disturbs the strips where they are; the others still see the wall.
/// A cell that was burnt out is NaN.
///
/// Copies share their frames, which nobody changes: one with gaps, or of some of the strips, costs
/// next to nothing.
class Cells {
 public:
  clips::RowScale scale;
  TransferFunction transfer;  ///< by which the light was decoded
  std::size_t rows = 0;
  std::size_t strips = 0;

  /// Rounding to code values that nothing dithered, relative to the light; 0 under noise.
  double rounding = 0.0;

  std::size_t frame_size() const { return rows * strips; }
  std::size_t frames() const { return frames_.size(); }
  float at(std::size_t frame, std::size_t row, std::size_t strip) const {
    return frames_[frame] ? (*frames_[frame])[place(row, strip)].light() : missing;
  }
  /// One row of a frame, strip by strip.
  void read_row(std::size_t frame, std::size_t row, std::span<float> light) const;

  /// A frame of `frame_size()` cells, row by row, strip by strip.
  void add_frame(const std::vector<float>& light);
  /// A frame that says nothing.
  void add_gap() { frames_.push_back(nullptr); }
  /// A frame of others of this layout.
  void add_frame_of(const Cells& others, std::size_t frame) {
    frames_.push_back(others.frames_[frame]);
  }
  /// The same layout without frames.
  Cells empty_like() const;
  /// The first frames, out of the others.
  Cells take(std::size_t frames);
  /// Some of the strips.
  Cells part(std::size_t from, std::size_t to) const;

 private:
  using Frame = std::vector<KeptLight>;
  static constexpr float missing = std::numeric_limits<float>::quiet_NaN();

  std::size_t place(std::size_t row, std::size_t strip) const {
    return row * stride() + first_strip_ + strip;
  }
  std::size_t stride() const { return strips + strips_left_out_; }

  std::size_t first_strip_ = 0;
  std::size_t strips_left_out_ = 0;
  std::vector<std::shared_ptr<const Frame>> frames_;
};

/// Reduces frames to cells: decodes each pixel to linear light first and averages then, since the
/// average of code values is not the code value of the average.
class FrameReducer {
 public:
  FrameReducer(const ClipFormat& format, const TransferFunction& transfer, bool full_range);

  /// An empty stretch of this clip's layout.
  Cells stretch() const;
  /// The cells of one frame, row by row, strip by strip; valid until the next.
  const std::vector<float>& reduced(const std::vector<std::uint16_t>& luma);
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
  std::vector<float> frame_;
  std::vector<float> light_;              // of each code value
  std::vector<std::size_t> strip_to_;     // column at which each strip ends
  std::optional<std::uint16_t> ceiling_;  // code values from here on are burnt out
  std::uint64_t pixels_ = 0;
  std::uint64_t burnt_out_ = 0;
};

}  // namespace lampbeat::footage::rows
