#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "footage/clips/plane.hpp"

namespace lampbeat::footage::rows {

/// The power of a plane over roll and bands: where a wave would show as a peak.
class PowerMap {
 public:
  PowerMap(const clips::Plane& plane, const clips::RowScale& scale);

  struct Peak {
    double roll = 0.0;   ///< cycles per frame, 0 ... ½
    double bands = 0.0;  ///< over the picture, either sign
  };
  /// The strongest peak whose power is this many times the noise around it.
  std::optional<Peak> strongest(double above_floor) const;
  /// Variance per sample that the noise around this place amounts to.
  double noise_variance(double roll, double bands) const;
  /// Amplitude of a wave that would just stand out by this much from typical noise.
  double amplitude_at(double above_floor) const;

 private:
  // The map is the largest thing of a stretch but for its cells.
  using Power = float;  // half as much memory

  bool is_peak(std::size_t i, std::size_t j) const;
  double floor_at(std::size_t i, std::size_t j) const;
  double power(std::size_t i, std::size_t j) const {
    return static_cast<double>(power_[i * bins_ + j]);
  }

  double samples_ = 0.0;
  double rows_ = 0.0;
  double height_ = 0.0;    // of the plane, in pictures
  std::size_t size_ = 0;   // padded frames
  std::size_t bins_ = 0;   // padded rows
  std::size_t lines_ = 0;  // rolls 0 ... ½
  std::vector<Power> power_;
};

}  // namespace lampbeat::footage::rows
