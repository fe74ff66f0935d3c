#pragma once

#include <string>

#include "capture/sound/sound_header.hpp"

// What libsndfile's format numbers (SF_FORMAT_...) say of a sound file.

namespace lampbeat::capture::sound {

/// "WAV", "FLAC", ...; "sound" for those that are met too rarely to be named.
std::string container_name(int format);

/// Bits of one integer sample; 0 for float and for coded samples.
int integer_bits(int format);

/// "24-bit", "32-bit float", "compressed samples".
std::string sample_name(int format);

/// libsndfile's name for samples without a container; 0 when there is none.
int raw_subtype(const PlainSamples& plain);

}  // namespace lampbeat::capture::sound
