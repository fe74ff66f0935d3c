#pragma once

#include <bit>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace lampbeat::test {

inline std::string little_endian(std::uint64_t value, int bytes) {
  std::string text;
  for (int i = 0; i < bytes; ++i) text += static_cast<char>(value >> (8 * i) & 0xFF);
  return text;
}

/// A WAV file written by hand after the RIFF/WAVE layout, so that readers are not tested against
/// writers of their own library. `data_length` overrides what the header promises.
inline std::string wav_bytes(int format_tag, int bits, int channels, unsigned rate_hz,
                             const std::string& data,
                             std::optional<unsigned> data_length = std::nullopt) {
  const auto frame = static_cast<unsigned>(channels * bits / 8);
  return "RIFF" + little_endian(36 + data.size(), 4) + "WAVEfmt " + little_endian(16, 4) +
         little_endian(static_cast<unsigned>(format_tag), 2) +
         little_endian(static_cast<unsigned>(channels), 2) + little_endian(rate_hz, 4) +
         little_endian(rate_hz * frame, 4) + little_endian(frame, 2) +
         little_endian(static_cast<unsigned>(bits), 2) + "data" +
         little_endian(data_length ? *data_length : data.size(), 4) + data;
}

inline std::string wav_of_shorts(const std::vector<short>& samples, int channels, unsigned rate_hz,
                                 std::optional<unsigned> data_length = std::nullopt) {
  std::string data;
  for (const short s : samples) data += little_endian(static_cast<std::uint16_t>(s), 2);
  return wav_bytes(1, 16, channels, rate_hz, data, data_length);
}

/// 32-bit floats; the channels are of equal length.
inline std::string wav_of_floats(const std::vector<std::vector<double>>& channels,
                                 unsigned rate_hz = 20000) {
  std::string data;
  for (std::size_t i = 0; i < channels.front().size(); ++i) {
    for (const auto& channel : channels) {
      data += little_endian(std::bit_cast<std::uint32_t>(static_cast<float>(channel[i])), 4);
    }
  }
  return wav_bytes(3, 32, static_cast<int>(channels.size()), rate_hz, data);
}

}  // namespace lampbeat::test
