#include "capture/sound/frame_reader.hpp"

#include <algorithm>

namespace lampbeat::capture::sound {

FrameReader::FrameReader(SNDFILE* file, const SF_INFO& info, std::size_t channel, bool live)
    : file_(file), channels_(static_cast<std::size_t>(info.channels)), channel_(channel) {
  // Blocks that stay in the processor's cache, however many channels there are.
  constexpr int most_samples = 32768;
  constexpr int fewest_frames = 64;
  constexpr int most_frames = 8192;
  block_frames_ = std::clamp(most_samples / info.channels, fewest_frames, most_frames);
  constexpr int live_blocks_a_second = 20;
  if (live) {
    block_frames_ =
        std::clamp<sf_count_t>(info.samplerate / live_blocks_a_second, 1, block_frames_);
  }
  const auto samples = static_cast<std::size_t>(block_frames_) * channels_;
  switch (info.format & SF_FORMAT_SUBMASK) {
    case SF_FORMAT_PCM_S8:
    case SF_FORMAT_PCM_U8:
    case SF_FORMAT_PCM_16:
    case SF_FORMAT_ALAC_16:
      shorts_.resize(samples);
      break;
    case SF_FORMAT_FLOAT:
      floats_.resize(samples);
      break;
    default:
      doubles_.resize(samples);
  }
  values_.resize(static_cast<std::size_t>(block_frames_));
}

sf_count_t FrameReader::read(sf_count_t count) {
  const sf_count_t got = !shorts_.empty()   ? sf_readf_short(file_, shorts_.data(), count)
                         : !floats_.empty() ? sf_readf_float(file_, floats_.data(), count)
                                            : sf_readf_double(file_, doubles_.data(), count);
  return std::max<sf_count_t>(0, got);
}

template <typename Sample>
void FrameReader::take_channel(const std::vector<Sample>& frames, std::size_t count, double scale) {
  const Sample* from = frames.data() + channel_;
  double* to = values_.data();
  if (channels_ == 1) {  // neighbours, converted several at once
    for (std::size_t i = 0; i < count; ++i) to[i] = scale * static_cast<double>(from[i]);
    return;
  }
  for (std::size_t i = 0; i < count; ++i, from += channels_) {
    to[i] = scale * static_cast<double>(*from);
  }
}

std::span<const double> FrameReader::channel(sf_count_t count) {
  const auto frames = static_cast<std::size_t>(count);
  constexpr double short_steps = 32768.0;  // to full scale
  if (!shorts_.empty()) {
    take_channel(shorts_, frames, 1.0 / short_steps);
  } else if (!floats_.empty()) {
    take_channel(floats_, frames, 1.0);
  } else {
    take_channel(doubles_, frames, 1.0);
  }
  return std::span<const double>(values_).first(frames);
}

}  // namespace lampbeat::capture::sound
