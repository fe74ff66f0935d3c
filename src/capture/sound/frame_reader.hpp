#pragma once

#include <sndfile.h>

#include <cstddef>
#include <span>
#include <vector>

namespace lampbeat::capture::sound {

/// One channel of the frames (one sample of every channel) that libsndfile decodes, block by block.
/// Full scale of integer samples is -1 ... +1.
class FrameReader {
 public:
  /// `channel` counts from 0. The file stays the caller's. `live`: blocks are short enough to be
  /// heard at once.
  FrameReader(SNDFILE* file, const SF_INFO& info, std::size_t channel, bool live);

  sf_count_t block_frames() const { return block_frames_; }
  /// Decodes up to `count` frames, at most a block; fewer at the end or where the file is damaged.
  sf_count_t read(sf_count_t count);
  /// The channel's samples in the first `count` frames read last, valid until the next call.
  std::span<const double> channel(sf_count_t count);
  /// Whether samples may be NaN or infinite.
  bool may_be_non_finite() const { return shorts_.empty(); }

 private:
  template <typename Sample>
  void take_channel(const std::vector<Sample>& frames, std::size_t count, double scale);

  SNDFILE* file_;
  std::size_t channels_;
  std::size_t channel_;
  sf_count_t block_frames_;
  // The narrowest type that holds every sample; the other two stay empty.
  std::vector<short> shorts_;
  std::vector<float> floats_;
  std::vector<double> doubles_;
  std::vector<double> values_;
};

}  // namespace lampbeat::capture::sound
