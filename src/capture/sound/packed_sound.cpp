#include "capture/sound/packed_sound.hpp"

#include <fmt/format.h>

#include <cmath>
#include <cstddef>
#include <cstdint>
#include <utility>
#include <vector>

#include "capture/clock/recorder_clock.hpp"
#include "capture/sound/sound_choices.hpp"
#include "capture/wanted_part.hpp"
#include "containers/container.hpp"
#include "lampbeat/error.hpp"
#include "words/numbers.hpp"

namespace lampbeat::capture::sound {
namespace {

// A cover beside the sound has fewer; a clip is known for one before its pictures are read.
constexpr std::int64_t most_pixels = std::int64_t{1} << 26;

CaptureFormat packed_format(const std::string& name, const containers::Sound& sound,
                            std::size_t channel, const CaptureOptions& options) {
  CaptureFormat format;
  format.name = name;
  format.kind = fmt::format("{} sound, {} Hz, channel {} of {}", sound.codec, sound.rate_hz,
                            channel + 1, sound.channels);
  format.evenly_sampled = true;
  format.rate_hz = sound.rate_hz;
  format.sound_file = true;
  format.clock_ppm = options.clock_ppm.value_or(clock::sound_card_ppm);
  if (sound.integer_bits > 0) {
    const double step = std::ldexp(1.0, 1 - sound.integer_bits);
    format.step = step;
    format.rail_low = -1.0;
    format.rail_high = 1.0 - step;
  }
  return format;
}

Finding lossy(const containers::Sound& sound) {
  return {"lossy_sound",
          fmt::format("This is lossy sound ({}): the codec leaves out what ears do not hear, weak "
                      "rhythms beside strong ones and whatever is fast, and may filter and "
                      "re-level the rest, which no ± here allows for. Frequencies stand; for "
                      "depth and shape record WAV or FLAC.",
                      sound.codec)};
}

containers::Container opened(files::ByteSource bytes) {
  try {
    return {std::move(bytes), most_pixels};
  } catch (const InputError& e) {
    throw InputError(
        fmt::format("{}\n(lossy sound alters the light's waveform; record WAV or FLAC)", e.what()));
  }
}

class PackedSound final : public CaptureSource {
 public:
  PackedSound(containers::Container container, const WantedPart& part,
              const CaptureOptions& options)
      : part_(part),
        container_(std::move(container)),
        sound_(container_.start_sound()),
        channel_(chosen_channel(container_.name(), sound_.channels, options.channel)),
        format_(packed_format(container_.name(), sound_, channel_, options)),
        findings_(notice_choices(sound_.channels, sound_.rate_hz, options)),
        first_(first_sample(part_, sound_.rate_hz)),
        end_(end_sample(part_, sound_.rate_hz)) {
    if (sound_.lossy) findings_.push_back(lossy(sound_));
  }

  const CaptureFormat& format() const override { return format_; }
  const Findings& findings() const override { return findings_; }

  SampleBlock next() override {
    value_.clear();
    while (value_.empty() && read_ < end_) {
      const auto samples = container_.next_samples();
      if (!samples) break;
      take(*samples);
    }
    if (value_.empty() && delivered_ < 2) refuse_too_few();
    delivered_ += value_.size();
    return {value_, {}};
  }

 private:
  void take(const containers::DoorSamples& samples) {
    const auto channels = static_cast<std::size_t>(sound_.channels);
    for (std::size_t i = 0; i < samples.frames; ++i, ++read_) {
      if (read_ < first_ || read_ >= end_) continue;
      const auto value = static_cast<double>(samples.interleaved[i * channels + channel_]);
      if (!std::isfinite(value)) {
        throw InputError(
            fmt::format("{}: sample {} of channel {} is not a number; export the "
                        "recording again, or keep what comes before with --for",
                        format_.name, read_ + 1, channel_ + 1));
      }
      value_.push_back(value);
    }
  }

  [[noreturn]] void refuse_too_few() const {
    if (read_ > 0 && read_ <= first_) {
      throw InputError(fmt::format(
          "{}: it ends after {} s, before the part that was asked for begins at {:g} s; choose a "
          "smaller --from",
          format_.name, words::in_digits_at_most(static_cast<double>(read_) / sound_.rate_hz, 6),
          part_.from_s));
    }
    throw InputError(fmt::format(
        "{}: {} of it, too few to measure anything; record a second or more", format_.name,
        delivered_ == 0 ? "not one sample came" : "only one sample came"));
  }

  WantedPart part_;
  containers::Container container_;
  containers::Sound sound_;
  std::size_t channel_;  // from 0
  CaptureFormat format_;
  Findings findings_;
  std::uint64_t first_;
  std::uint64_t end_;
  std::uint64_t read_ = 0;
  std::uint64_t delivered_ = 0;
  std::vector<double> value_;
};

}  // namespace

std::unique_ptr<CaptureSource> open_packed_sound(files::ByteSource bytes,
                                                 const CaptureOptions& options) {
  const WantedPart part = wanted_part(options);
  if (!containers::can_open()) {
    throw InputError(
        fmt::format("{}: this is a clip (see `lampbeat footage --help`) or packed sound, often "
                    "lossy, which this "
                    "lampbeat cannot unpack: record WAV or FLAC, or use ffmpeg -v error -i FILE "
                    "-c:a pcm_f32le -f wav - | lampbeat measure -\n{}",
                    bytes.name(), containers::how_to_have_it()));
  }
  containers::Container container = opened(std::move(bytes));
  if (container.has_video()) {
    throw InputError(fmt::format(
        "{}: this is a clip, not a sensor log; use `lampbeat footage` for it", container.name()));
  }
  if (!container.has_sound()) {
    throw InputError(
        fmt::format("{}: it holds neither sound nor pictures; copy it again from the recorder",
                    container.name()));
  }
  refuse_columns(container.name(), options);
  return std::make_unique<PackedSound>(std::move(container), part, options);
}

}  // namespace lampbeat::capture::sound
