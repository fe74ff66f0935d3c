#include "capture/sound/sound_file.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <utility>

#include <fmt/format.h>

#include "arithmetic/lanes.hpp"
#include "capture/clock/recorder_clock.hpp"
#include "capture/sound/frame_reader.hpp"
#include "capture/sound/sample_format.hpp"
#include "capture/sound/sound_choices.hpp"
#include "capture/sound/sound_container.hpp"
#include "capture/wanted_part.hpp"
#include "lampbeat/error.hpp"
#include "words/numbers.hpp"

namespace lampbeat::capture::sound {
namespace {

CaptureFormat format_of(const SoundContainer& sound, std::size_t channel,
                        const CaptureOptions& options) {
  const SF_INFO& info = sound.info();
  CaptureFormat format;
  format.name = sound.name();
  format.kind = fmt::format("{}, {}, {} Hz, channel {} of {}", container_name(info.format),
                            sample_name(info.format), info.samplerate, channel + 1, info.channels);
  format.evenly_sampled = true;
  format.rate_hz = info.samplerate;
  format.sound_file = true;
  format.clock_ppm = options.clock_ppm.value_or(clock::sound_card_ppm);
  if (const int bits = integer_bits(info.format); bits > 0) {
    const double step = std::ldexp(1.0, 1 - bits);
    format.step = step;
    format.rail_low = -1.0;
    format.rail_high = 1.0 - step;
  }
  return format;
}

class SoundFileSource final : public CaptureSource {
 public:
  SoundFileSource(files::ByteSource bytes, const WantedPart& part, const CaptureOptions& options)
      : part_(part),
        sound_(std::move(bytes)),
        channel_(chosen_channel(sound_.name(), sound_.info().channels, options.channel)),
        format_(format_of(sound_, channel_, options)),
        findings_(notice_choices(sound_.info().channels, sound_.info().samplerate, options)),
        frames_(sound_.file(), sound_.info(), channel_, options.live.has_value()),
        hear_(options.live ? options.live->hear : nullptr),
        first_frame_(first_sample(part_, sound_.info().samplerate)),
        end_frame_(end_sample(part_, sound_.info().samplerate)) {
    go_to_first_frame();
  }

  const CaptureFormat& format() const override { return format_; }
  const Findings& findings() const override { return findings_; }
  SampleBlock next() override;

 private:
  void go_to_first_frame();
  [[noreturn]] void refuse_too_few() const;
  void refuse_non_finite(std::span<const double> value) const;
  void check_ending(std::uint64_t frames) const;

  WantedPart part_;
  SoundContainer sound_;
  std::size_t channel_;  ///< from 0
  CaptureFormat format_;
  Findings findings_;
  FrameReader frames_;
  std::function<void(const SampleBlock&)> hear_;
  std::uint64_t first_frame_;
  std::uint64_t end_frame_;
  std::uint64_t frames_read_ = 0;
};

void SoundFileSource::go_to_first_frame() {
  if (first_frame_ == 0) return;
  if (sound_.seek(first_frame_)) {
    frames_read_ = first_frame_;
    return;
  }
  while (frames_read_ < first_frame_) {
    const std::uint64_t left = first_frame_ - frames_read_;
    const auto wanted =
        static_cast<sf_count_t>(std::min(left, static_cast<std::uint64_t>(frames_.block_frames())));
    const sf_count_t got = frames_.read(wanted);
    frames_read_ += static_cast<std::uint64_t>(got);
    if (got < wanted) break;
  }
  if (frames_read_ == first_frame_) return;
  check_ending(frames_read_);
  throw InputError(
      fmt::format("{}: it ends after {:g} s, before the part that was asked for begins at {:g} "
                  "s; choose a smaller --from",
                  format_.name, sound_.seconds(frames_read_), part_.from_s));
}

SampleBlock SoundFileSource::next() {
  const std::uint64_t left = end_frame_ > frames_read_ ? end_frame_ - frames_read_ : 0;
  const auto wanted =
      static_cast<sf_count_t>(std::min(left, static_cast<std::uint64_t>(frames_.block_frames())));
  const sf_count_t count = wanted > 0 ? frames_.read(wanted) : 0;
  if (count < wanted) check_ending(frames_read_ + static_cast<std::uint64_t>(count));
  if (count == 0) {
    if (frames_read_ < first_frame_ + 2) refuse_too_few();
    return {};
  }
  const std::span<const double> value = frames_.channel(count);
  if (frames_.may_be_non_finite()) refuse_non_finite(value);
  frames_read_ += static_cast<std::uint64_t>(count);
  if (hear_) hear_({value, {}});
  return {value, {}};
}

void SoundFileSource::refuse_too_few() const {
  throw InputError(
      fmt::format("{}: {} {} from it, too few to measure anything; record a second or more",
                  format_.name, frames_read_ == first_frame_ ? "not one sample" : "only one sample",
                  first_frame_ > 0 || end_frame_ < endless ? "was asked for" : "came"));
}

void SoundFileSource::refuse_non_finite(std::span<const double> value) const {
  if (arithmetic::all_finite(value)) return;
  const auto bad =
      std::find_if_not(value.begin(), value.end(), [](double v) { return std::isfinite(v); });
  const std::uint64_t before = frames_read_ + static_cast<std::uint64_t>(bad - value.begin());
  throw InputError(fmt::format(
      "{}: sample {} of channel {} (at {} s) is {}, not a number the sensor can have given;\n"
      "export the recording again, or keep what comes before with --for",
      format_.name, before + 1, channel_ + 1, words::in_digits_at_most(sound_.seconds(before), 6),
      std::isnan(*bad) ? "NaN" : "infinite"));
}

/// The samples ran out after `frames`: throws unless that is where the file said it would end.
void SoundFileSource::check_ending(std::uint64_t frames) const {
  if (sound_.stopped()) return;
  const auto trouble = sound_.trouble_ending_after(frames);
  if (!trouble) return;
  constexpr double clear_of_the_end = 0.99;
  const double kept_s = std::floor(sound_.seconds(frames) * clear_of_the_end * 1e3) / 1e3;
  throw InputError(fmt::format(
      "{}: it is {} nothing usable follows sample {} ({} s);\ncopy it again from the "
      "recorder{}",
      format_.name, *trouble, frames, words::in_digits_at_most(sound_.seconds(frames), 6),
      kept_s > part_.from_s ? fmt::format(", or keep what is there with --for {}",
                                          words::in_digits_at_most(kept_s - part_.from_s, 6))
                            : ""));
}

}  // namespace

std::unique_ptr<CaptureSource> open_sound_file(files::ByteSource bytes,
                                               const CaptureOptions& options) {
  const WantedPart part = wanted_part(options);
  refuse_columns(bytes.name(), options);
  return std::make_unique<SoundFileSource>(std::move(bytes), part, options);
}

}  // namespace lampbeat::capture::sound
