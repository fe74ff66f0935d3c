#include "capture/sound/sample_format.hpp"

#include <sndfile.h>

#include <fmt/format.h>

namespace lampbeat::capture::sound {

std::string container_name(int format) {
  switch (format & SF_FORMAT_TYPEMASK) {
    case SF_FORMAT_WAV:
    case SF_FORMAT_WAVEX:
    case SF_FORMAT_RAW:
      return "WAV";
    case SF_FORMAT_RF64:
      return "RF64";
    case SF_FORMAT_W64:
      return "W64";
    case SF_FORMAT_AIFF:
      return "AIFF";
    case SF_FORMAT_CAF:
      return "CAF";
    case SF_FORMAT_FLAC:
      return "FLAC";
    case SF_FORMAT_AU:
      return "AU";
    default:
      return "sound";
  }
}

int integer_bits(int format) {
  switch (format & SF_FORMAT_SUBMASK) {
    case SF_FORMAT_PCM_S8:
    case SF_FORMAT_PCM_U8:
      return 8;
    case SF_FORMAT_PCM_16:
    case SF_FORMAT_ALAC_16:
      return 16;
    case SF_FORMAT_ALAC_20:
      return 20;
    case SF_FORMAT_PCM_24:
    case SF_FORMAT_ALAC_24:
      return 24;
    case SF_FORMAT_PCM_32:
    case SF_FORMAT_ALAC_32:
      return 32;
    default:
      return 0;
  }
}

std::string sample_name(int format) {
  switch (format & SF_FORMAT_SUBMASK) {
    case SF_FORMAT_FLOAT:
      return "32-bit float";
    case SF_FORMAT_DOUBLE:
      return "64-bit float";
    default:
      break;
  }
  const int bits = integer_bits(format);
  return bits > 0 ? fmt::format("{}-bit", bits) : "compressed samples";
}

namespace {

int raw_integer(int bits) {
  switch (bits) {
    case 8:
      return SF_FORMAT_PCM_U8;
    case 16:
      return SF_FORMAT_PCM_16;
    case 24:
      return SF_FORMAT_PCM_24;
    case 32:
      return SF_FORMAT_PCM_32;
    default:
      return 0;
  }
}

}  // namespace

int raw_subtype(const PlainSamples& plain) {
  if (plain.frame_bytes != plain.channels * plain.bits / 8) return 0;
  switch (plain.format_tag) {
    case PlainSamples::integer:
      return raw_integer(plain.bits);
    case PlainSamples::floating:
      return plain.bits == 32 ? SF_FORMAT_FLOAT : plain.bits == 64 ? SF_FORMAT_DOUBLE : 0;
    case PlainSamples::a_law:
      return plain.bits == 8 ? SF_FORMAT_ALAW : 0;
    case PlainSamples::mu_law:
      return plain.bits == 8 ? SF_FORMAT_ULAW : 0;
    default:
      return 0;
  }
}

}  // namespace lampbeat::capture::sound
