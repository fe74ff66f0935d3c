#pragma once

#include <vector>

#include "decoders/libav.hpp"

namespace lampbeat::decoders {

int channels_of(const AVCodecContext& codec);
/// Appends a frame's samples, channel beside channel, full scale 1. Throws Complaint for a sample
/// format that is not known and where the number of channels changes.
void append_samples(const AVFrame& frame, int channels, std::vector<float>& to);

}  // namespace lampbeat::decoders
