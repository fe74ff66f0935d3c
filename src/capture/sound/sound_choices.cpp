#include "capture/sound/sound_choices.hpp"

#include <fmt/format.h>

#include <cmath>

#include "capture/sound/sound_bytes.hpp"
#include "lampbeat/error.hpp"

namespace lampbeat::capture::sound {
namespace {

std::uint64_t sample_at(double t_s, int rate_hz) {
  constexpr double rounding_samples = 1e-6;
  const double sample = std::ceil(t_s * rate_hz - rounding_samples);
  return sample >= static_cast<double>(endless) ? endless : static_cast<std::uint64_t>(sample);
}

}  // namespace

void refuse_columns(const std::string& name, const CaptureOptions& options) {
  if (!options.time_column && !options.value_column) return;
  throw UsageError(fmt::format(
      "{}: a sound file has channels, not columns; choose one with --channel instead of --time "
      "and --value",
      name));
}

std::size_t chosen_channel(const std::string& name, int channels,
                           const std::optional<int>& wanted) {
  if (wanted && (*wanted < 1 || *wanted > channels)) {
    throw UsageError(fmt::format("{}: there is no channel {}; it has {}", name, *wanted,
                                 channels == 1 ? std::string("one channel, so leave --channel out")
                                               : fmt::format("channels 1 to {}", channels)));
  }
  return static_cast<std::size_t>(wanted.value_or(1) - 1);
}

Findings notice_choices(int channels, int rate_hz, const CaptureOptions& options) {
  Findings findings;
  if (!options.channel && channels > 1) {
    findings.push_back(
        {"channel_assumed",
         fmt::format("The file has {} channels and channel 1 was used; if the sensor is on "
                     "another, choose it with --channel.",
                     channels)});
  }
  if (options.rate_hz && *options.rate_hz != rate_hz) {
    findings.push_back(
        {"rate_ignored",
         fmt::format("The file itself states {} samples per second; the rate {:g} given beside it "
                     "was not used. Leave --rate out for sound files.",
                     rate_hz, *options.rate_hz)});
  }
  return findings;
}

std::uint64_t first_sample(const WantedPart& part, int rate_hz) {
  return sample_at(part.from_s, rate_hz);
}

std::uint64_t end_sample(const WantedPart& part, int rate_hz) {
  return part.end_s() ? sample_at(*part.end_s(), rate_hz) : endless;
}

}  // namespace lampbeat::capture::sound
