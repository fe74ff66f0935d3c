#include <sndfile.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <cstdio>
#include <filesystem>
#include <string>
#include <vector>

#include <fmt/format.h>

#include "capture/sound_file.hpp"
#include "capture/sound_file_writer.hpp"
#include "capture/sound_header.hpp"
#include "capture/wanted_part.hpp"
#include "files/draft.hpp"
#include "lampbeat/error.hpp"

namespace lampbeat {
namespace {

struct CloseSound {
  void operator()(SNDFILE* file) const { sf_close(file); }
};
using SoundHandle = std::unique_ptr<SNDFILE, CloseSound>;

int major_and_subtype(SoundFormat format) {
  switch (format) {
    case SoundFormat::wav_float:
      return SF_FORMAT_WAV | SF_FORMAT_FLOAT;
    case SoundFormat::wav_16:
      return SF_FORMAT_WAV | SF_FORMAT_PCM_16;
    case SoundFormat::flac_16:
      return SF_FORMAT_FLAC | SF_FORMAT_PCM_16;
    case SoundFormat::flac_24:
      break;
  }
  return SF_FORMAT_FLAC | SF_FORMAT_PCM_24;
}

bool is_flac(SoundFormat format) {
  return format == SoundFormat::flac_16 || format == SoundFormat::flac_24;
}

bool ends_with_ignoring_case(const std::string& text, const std::string& ending) {
  if (text.size() < ending.size()) return false;
  return std::equal(ending.begin(), ending.end(), text.end() - static_cast<long>(ending.size()),
                    [](char wanted, char c) {
                      return wanted == (c >= 'A' && c <= 'Z' ? static_cast<char>(c + 32) : c);
                    });
}

}  // namespace

// Writing ----------------------------------------------------------------------------------------

std::optional<SoundFormat> sound_format_for(const std::string& path) {
  if (ends_with_ignoring_case(path, ".wav")) return SoundFormat::wav_float;
  if (ends_with_ignoring_case(path, ".flac")) return SoundFormat::flac_24;
  return std::nullopt;
}

struct SoundFileWriter::State {
  std::string path;
  std::optional<files::Draft> draft;  ///< empty for a device, which is written to directly
  SoundFormat format = SoundFormat::wav_float;
  SoundHandle file;
  std::uint64_t frames = 0;

  [[noreturn]] void fail(std::string what) const {
    // The library says "System error : Permission denied."; the reason alone reads better.
    const std::string lead = "System error : ";
    if (what.starts_with(lead)) what.erase(0, lead.size());
    if (what.ends_with('.')) what.pop_back();
    files::refuse_output(path, what);
  }
};

SoundFileWriter::SoundFileWriter(const std::string& path, SoundFormat format, int rate_hz)
    : state_(std::make_unique<State>()) {
  constexpr int flac_highest_rate_hz = 655350;
  if (rate_hz < 1 || (is_flac(format) && rate_hz > flac_highest_rate_hz)) {
    throw UsageError(fmt::format("a sound file cannot have {} samples per second; {}", rate_hz,
                                 is_flac(format) ? "FLAC takes 1 to 655350" : "at least 1"));
  }
  state_->path = path;
  if (!files::is_special(path)) state_->draft.emplace(path);
  state_->format = format;
  SF_INFO info{};
  info.samplerate = rate_hz;
  info.channels = 1;
  info.format = major_and_subtype(format);
  state_->file.reset(
      sf_open(state_->draft ? state_->draft->path().c_str() : path.c_str(), SFM_WRITE, &info));
  if (!state_->file) state_->fail(sf_strerror(nullptr));
  // Without its time stamp, equal samples make equal files.
  sf_command(state_->file.get(), SFC_SET_ADD_PEAK_CHUNK, nullptr, SF_FALSE);
}

SoundFileWriter::~SoundFileWriter() = default;

void SoundFileWriter::write(std::span<const double> value) {
  constexpr std::uint64_t wav_limit_bytes = 0xFFFF0000;  // 32-bit chunk length less the header
  const std::uint64_t bytes_per_frame = state_->format == SoundFormat::wav_float ? 4 : 2;
  state_->frames += value.size();
  if (!is_flac(state_->format) && state_->frames * bytes_per_frame > wav_limit_bytes) {
    state_->fail("a WAV file ends at 4 GB, so make it shorter or write FLAC");
  }
  constexpr std::size_t chunk = 4096;
  SNDFILE* const file = state_->file.get();
  while (!value.empty()) {
    const auto part = value.first(std::min(chunk, value.size()));
    const auto count = static_cast<sf_count_t>(part.size());
    sf_count_t written = 0;
    if (state_->format == SoundFormat::wav_float) {
      std::array<float, chunk> samples;
      std::transform(part.begin(), part.end(), samples.begin(),
                     [](double v) { return static_cast<float>(v); });
      written = sf_write_float(file, samples.data(), count);
    } else {
      // libsndfile reads code / 2^(bits − 1) but writes value · (2^(bits − 1) − 1); scaling here
      // keeps one step one step. Integers go through it in the upper bits of 32.
      const double steps = state_->format == SoundFormat::flac_24 ? 8388608.0 : 32768.0;
      const int shift = state_->format == SoundFormat::flac_24 ? 256 : 65536;
      std::array<int, chunk> samples;
      std::transform(part.begin(), part.end(), samples.begin(), [&](double v) {
        return static_cast<int>(std::clamp(std::nearbyint(v * steps), -steps, steps - 1.0)) * shift;
      });
      written = sf_write_int(file, samples.data(), count);
    }
    if (written != count) state_->fail(sf_strerror(file));
    value = value.subspan(part.size());
  }
}

void SoundFileWriter::close() {
  if (!state_->file) return;
  sf_write_sync(state_->file.get());
  const int trouble = sf_close(state_->file.release());
  if (trouble != 0) state_->fail(sf_error_number(trouble));
  if (state_->draft) state_->draft->keep();
}

// Reading ----------------------------------------------------------------------------------------

namespace {

/// The bytes libsndfile sees: the whole source, or only the samples of a live WAV.
struct SoundBytes {
  ByteSource source;
  std::uint64_t base = 0;
  std::uint64_t length = 0;
  std::uint64_t position = 0;

  explicit SoundBytes(ByteSource bytes) : source(std::move(bytes)) {}
};

sf_count_t length_of(void* user) {
  return static_cast<sf_count_t>(static_cast<SoundBytes*>(user)->length);
}

sf_count_t seek_in(sf_count_t offset, int whence, void* user) {
  auto& bytes = *static_cast<SoundBytes*>(user);
  const auto start = whence == SEEK_SET   ? sf_count_t{0}
                     : whence == SEEK_CUR ? static_cast<sf_count_t>(bytes.position)
                                          : static_cast<sf_count_t>(bytes.length);
  sf_count_t target = 0;
  if (__builtin_add_overflow(start, offset, &target) || target < 0) return -1;
  bytes.position = static_cast<std::uint64_t>(target);
  return target;
}

sf_count_t read_from(void* buffer, sf_count_t count, void* user) {
  auto& bytes = *static_cast<SoundBytes*>(user);
  if (count <= 0 || bytes.position >= bytes.length) return 0;
  const std::uint64_t wanted =
      std::min(static_cast<std::uint64_t>(count), bytes.length - bytes.position);
  const std::size_t got =
      bytes.source.read_at(bytes.base + bytes.position, static_cast<char*>(buffer), wanted);
  bytes.position += got;
  return static_cast<sf_count_t>(got);
}

sf_count_t write_nothing(const void*, sf_count_t, void*) { return 0; }

sf_count_t position_of(void* user) {
  return static_cast<sf_count_t>(static_cast<SoundBytes*>(user)->position);
}

constexpr std::uint64_t endless = std::uint64_t{1} << 60;

/// libsndfile's name for samples without a container; 0 when there is none.
int raw_subtype(const PlainSamples& plain) {
  if (plain.frame_bytes != plain.channels * plain.bits / 8) return 0;
  switch (plain.format_tag) {
    case 1:
      switch (plain.bits) {
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
    case 3:
      return plain.bits == 32 ? SF_FORMAT_FLOAT : plain.bits == 64 ? SF_FORMAT_DOUBLE : 0;
    case 6:
      return plain.bits == 8 ? SF_FORMAT_ALAW : 0;
    case 7:
      return plain.bits == 8 ? SF_FORMAT_ULAW : 0;
    default:
      return 0;
  }
}

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

/// Bits of one integer sample; 0 for float and for coded samples.
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

/// libsndfile's words without their frame.
std::string plain_reason(std::string words) {
  constexpr std::string_view prefix = "Error : ";
  if (words.rfind(prefix, 0) == 0) words.erase(0, prefix.size());
  while (!words.empty() && (words.back() == '\n' || words.back() == '.')) words.pop_back();
  return words;
}

class SoundFileSource final : public CaptureSource {
 public:
  SoundFileSource(ByteSource source, const CaptureOptions& options);

  const CaptureFormat& format() const override { return format_; }
  const Findings& findings() const override { return findings_; }
  SampleBlock next() override;

 private:
  enum class Reader { shorts, floats, doubles };

  void open_container();
  void choose_channel(const std::optional<int>& wanted);
  void go_to_wanted_part(const WantedPart& part);
  sf_count_t read_frames(sf_count_t count);
  template <typename Sample>
  void take_channel(const std::vector<Sample>& frames, sf_count_t count, double scale);
  void refuse_non_finite(std::span<const double> value) const;
  std::optional<std::string> missing_bytes() const;
  void check_ending(std::uint64_t frames) const;
  double seconds(std::uint64_t frames) const {
    return static_cast<double>(frames) / static_cast<double>(info_.samplerate);
  }

  SoundBytes bytes_;
  SoundHandle file_;
  SF_INFO info_{};
  CaptureFormat format_;
  Findings findings_;
  Reader reader_ = Reader::doubles;
  std::optional<SoundHeader> header_;
  std::size_t channel_ = 0;  ///< from 0
  std::uint64_t frames_read_ = 0;
  double part_from_s_ = 0.0;
  std::uint64_t first_frame_ = 0;
  std::uint64_t end_frame_ = endless;
  sf_count_t block_frames_ = 0;
  std::vector<short> shorts_;
  std::vector<float> floats_;
  std::vector<double> doubles_;
  std::vector<double> values_;
};

SoundFileSource::SoundFileSource(ByteSource source, const CaptureOptions& options)
    : bytes_(std::move(source)) {
  const WantedPart part = wanted_part(options);
  if (options.time_column || options.value_column) {
    throw UsageError(fmt::format(
        "{}: a sound file has channels, not columns; choose one with --channel instead of --time "
        "and --value",
        bytes_.source.name()));
  }
  format_.name = bytes_.source.name();
  open_container();
  choose_channel(options.channel);
  if (options.rate_hz && *options.rate_hz != info_.samplerate) {
    findings_.push_back(
        {"rate_ignored",
         fmt::format("The file itself states {} samples per second; the rate {:g} given beside it "
                     "was not used. Leave --rate out for sound files.",
                     info_.samplerate, *options.rate_hz)});
  }

  format_.kind =
      fmt::format("{}, {}, {} Hz, channel {} of {}", container_name(info_.format),
                  sample_name(info_.format), info_.samplerate, channel_ + 1, info_.channels);
  format_.evenly_sampled = true;
  format_.rate_hz = info_.samplerate;
  format_.sound_file = true;
  if (const int bits = integer_bits(info_.format); bits > 0) {
    const double step = std::ldexp(1.0, 1 - bits);
    format_.step = step;
    format_.rail_low = -1.0;
    format_.rail_high = 1.0 - step;
  }

  constexpr int most_samples = 32768;
  block_frames_ = std::clamp(most_samples / info_.channels, 64, 8192);
  const auto samples = static_cast<std::size_t>(block_frames_ * info_.channels);
  switch (info_.format & SF_FORMAT_SUBMASK) {
    case SF_FORMAT_PCM_S8:
    case SF_FORMAT_PCM_U8:
    case SF_FORMAT_PCM_16:
    case SF_FORMAT_ALAC_16:
      reader_ = Reader::shorts;
      shorts_.resize(samples);
      break;
    case SF_FORMAT_FLOAT:
      reader_ = Reader::floats;
      floats_.resize(samples);
      break;
    default:
      reader_ = Reader::doubles;
      doubles_.resize(samples);
  }
  values_.resize(static_cast<std::size_t>(block_frames_));
  go_to_wanted_part(part);
}

void SoundFileSource::open_container() {
  ByteSource& source = bytes_.source;
  header_ = read_sound_header(source);
  const std::string_view magic = source.look(4);
  const bool flac = magic == "fLaC";
  const int subtype = header_ && header_->plain ? raw_subtype(*header_->plain) : 0;
  const bool length_unknown = header_ && !header_->audio_bytes;

  // Samples alone need no seeking and no length: the way to read a recording still being made, and
  // one whose recorder never came to complete the header.
  if (subtype != 0 && (!source.seekable() || length_unknown)) {
    bytes_.base = header_->audio_offset;
    bytes_.length = source.seekable()      ? *source.size() - std::min(*source.size(), bytes_.base)
                    : header_->audio_bytes ? *header_->audio_bytes
                                           : endless;
    const auto frame_bytes = static_cast<std::uint64_t>(header_->plain->frame_bytes);
    bytes_.length -= bytes_.length % frame_bytes;
    info_.format = SF_FORMAT_RAW | SF_ENDIAN_LITTLE | subtype;
    info_.channels = header_->plain->channels;
    info_.samplerate = header_->plain->rate_hz;
  } else if (source.seekable()) {
    bytes_.length = *source.size();
  } else if (flac) {
    source.look(65536);
    bytes_.length = endless;
  } else {
    throw InputError(fmt::format(
        "{}: this kind of sound ({}) cannot be read from a pipe, because its reader "
        "must move back and forth;\nsave it to a file first, or pipe plain WAV",
        source.name(),
        magic == "RIFF" || magic == "RF64" ? "WAV with coded samples or a damaged header"
        : magic == "FORM"                  ? "AIFF"
        : magic == "caff"                  ? "CAF"
        : magic == "riff"                  ? "W64"
                                           : "no plain WAV or FLAC"));
  }

  SF_VIRTUAL_IO access{length_of, seek_in, read_from, write_nothing, position_of};
  file_.reset(sf_open_virtual(&access, SFM_READ, &info_, &bytes_));
  if (!file_) {
    const std::string reason = plain_reason(sf_strerror(nullptr));
    if (const auto missing = missing_bytes()) {  // whatever else its reader finds wrong
      throw InputError(fmt::format("{}: it is cut off: {};\ncopy it again from the recorder",
                                   source.name(), *missing));
    }
    throw InputError(
        fmt::format("{}: it begins like a sound file, but its header is damaged or unknown ({});\n"
                    "copy it again from the recorder, or export it as plain WAV",
                    source.name(), reason));
  }
  if (info_.samplerate < 1 || info_.channels < 1) {
    throw InputError(
        fmt::format("{}: its header states {} channels at {} samples per second, which cannot be;\n"
                    "export it again as plain WAV",
                    source.name(), info_.channels, info_.samplerate));
  }
}

void SoundFileSource::choose_channel(const std::optional<int>& wanted) {
  if (wanted && (*wanted < 1 || *wanted > info_.channels)) {
    throw UsageError(
        fmt::format("{}: there is no channel {}; it has {}", bytes_.source.name(), *wanted,
                    info_.channels == 1 ? std::string("one channel, so leave --channel out")
                                        : fmt::format("channels 1 to {}", info_.channels)));
  }
  channel_ = static_cast<std::size_t>(wanted.value_or(1) - 1);
  if (!wanted && info_.channels > 1) {
    findings_.push_back(
        {"channel_assumed",
         fmt::format("The file has {} channels and channel 1 was used; if the sensor is on "
                     "another, choose it with --channel.",
                     info_.channels)});
  }
}

void SoundFileSource::go_to_wanted_part(const WantedPart& part) {
  // A sample whose time equals the border up to rounding belongs to what follows the border.
  const auto frame_at = [&](double t_s) {
    const double frame = std::ceil(t_s * static_cast<double>(info_.samplerate) - 1e-6);
    return frame >= static_cast<double>(endless) ? endless : static_cast<std::uint64_t>(frame);
  };
  if (const auto end_s = part.end_s()) end_frame_ = frame_at(*end_s);
  part_from_s_ = part.from_s;
  first_frame_ = frame_at(part.from_s);
  if (first_frame_ == 0) return;
  if (bytes_.source.seekable() && info_.frames > 0 &&
      first_frame_ < static_cast<std::uint64_t>(info_.frames) &&
      sf_seek(file_.get(), static_cast<sf_count_t>(first_frame_), SEEK_SET) ==
          static_cast<sf_count_t>(first_frame_)) {
    frames_read_ = first_frame_;
    return;
  }
  sf_error(file_.get());
  while (frames_read_ < first_frame_) {
    const auto left = static_cast<sf_count_t>(
        std::min(first_frame_ - frames_read_, static_cast<std::uint64_t>(block_frames_)));
    const sf_count_t got = read_frames(left);
    frames_read_ += static_cast<std::uint64_t>(got);
    if (got < left) break;
  }
  if (frames_read_ < first_frame_) {
    check_ending(frames_read_);
    throw InputError(
        fmt::format("{}: it ends after {:g} s, before the part that was asked for begins at {:g} "
                    "s; choose a smaller --from",
                    format_.name, seconds(frames_read_), part.from_s));
  }
}

sf_count_t SoundFileSource::read_frames(sf_count_t count) {
  switch (reader_) {
    case Reader::shorts:
      return std::max<sf_count_t>(0, sf_readf_short(file_.get(), shorts_.data(), count));
    case Reader::floats:
      return std::max<sf_count_t>(0, sf_readf_float(file_.get(), floats_.data(), count));
    case Reader::doubles:
      break;
  }
  return std::max<sf_count_t>(0, sf_readf_double(file_.get(), doubles_.data(), count));
}

template <typename Sample>
void SoundFileSource::take_channel(const std::vector<Sample>& frames, sf_count_t count,
                                   double scale) {
  const auto channels = static_cast<std::size_t>(info_.channels);
  const Sample* from = frames.data() + channel_;
  for (std::size_t i = 0; i < static_cast<std::size_t>(count); ++i, from += channels) {
    values_[i] = scale * static_cast<double>(*from);
  }
}

SampleBlock SoundFileSource::next() {
  const std::uint64_t left = end_frame_ > frames_read_ ? end_frame_ - frames_read_ : 0;
  const auto wanted =
      static_cast<sf_count_t>(std::min(left, static_cast<std::uint64_t>(block_frames_)));
  const sf_count_t count = wanted > 0 ? read_frames(wanted) : 0;
  if (count < wanted) check_ending(frames_read_ + static_cast<std::uint64_t>(count));
  if (count == 0) {
    if (frames_read_ < first_frame_ + 2) {
      throw InputError(fmt::format(
          "{}: {} {} from it, too few to measure anything; record a second or more", format_.name,
          frames_read_ == first_frame_ ? "not one sample" : "only one sample",
          first_frame_ > 0 || end_frame_ < endless ? "was asked for" : "came"));
    }
    return {};
  }
  switch (reader_) {
    case Reader::shorts:
      take_channel(shorts_, count, 1.0 / 32768.0);
      break;
    case Reader::floats:
      take_channel(floats_, count, 1.0);
      break;
    case Reader::doubles:
      take_channel(doubles_, count, 1.0);
      break;
  }
  const auto value = std::span<const double>(values_).first(static_cast<std::size_t>(count));
  if (reader_ != Reader::shorts) refuse_non_finite(value);
  frames_read_ += static_cast<std::uint64_t>(count);
  return {value, {}};
}

void SoundFileSource::refuse_non_finite(std::span<const double> value) const {
  double probe = 0.0;
  for (const double v : value) probe += 0.0 * v;  // stays 0 unless one is NaN or infinite
  if (probe == 0.0) return;
  const auto bad =
      std::find_if_not(value.begin(), value.end(), [](double v) { return std::isfinite(v); });
  const std::uint64_t before = frames_read_ + static_cast<std::uint64_t>(bad - value.begin());
  throw InputError(fmt::format(
      "{}: sample {} of channel {} (at {:.6g} s) is {}, not a number the sensor can have given;\n"
      "export the recording again, or keep what comes before with --for",
      format_.name, before + 1, channel_ + 1, seconds(before),
      std::isnan(*bad) ? "NaN" : "infinite"));
}

/// What a chunked file promised and does not hold; empty when nothing is missing.
std::optional<std::string> SoundFileSource::missing_bytes() const {
  if (!header_ || !header_->audio_bytes) return std::nullopt;
  const ByteSource& source = bytes_.source;
  const std::uint64_t promised = *header_->audio_bytes;
  const std::uint64_t present =
      source.seekable() ? *source.size() - std::min(*source.size(), header_->audio_offset)
                        : bytes_.position;
  if (present >= promised) return std::nullopt;
  return fmt::format("its header promises {} bytes of samples, {} are there", promised, present);
}

/// The samples ran out after `frames`: throws unless that is where the file said it would end.
void SoundFileSource::check_ending(std::uint64_t frames) const {
  const auto promised = static_cast<std::uint64_t>(std::max<sf_count_t>(0, info_.frames));
  std::string trouble;
  if (const int error = sf_error(file_.get()); error != SF_ERR_NO_ERROR) {
    trouble = "damaged or cut off (" + plain_reason(sf_error_number(error)) + ");";
  } else if (const auto missing = missing_bytes()) {
    trouble = "cut off: " + *missing + ";";
  } else if (!header_ && promised < endless && frames < promised) {
    trouble = fmt::format("cut off: its header promises {} samples;", promised);
  } else {
    return;
  }
  constexpr double clear_of_the_end = 0.99;
  const double kept_s = std::floor(seconds(frames) * clear_of_the_end * 1e3) / 1e3;
  throw InputError(fmt::format(
      "{}: it is {} nothing usable follows sample {} ({:.6g} s);\ncopy it again from the "
      "recorder{}",
      format_.name, trouble, frames, seconds(frames),
      kept_s > part_from_s_
          ? fmt::format(", or keep what is there with --for {:.6g}", kept_s - part_from_s_)
          : ""));
}

}  // namespace

std::unique_ptr<CaptureSource> open_sound_file(ByteSource bytes, const CaptureOptions& options) {
  return std::make_unique<SoundFileSource>(std::move(bytes), options);
}

}  // namespace lampbeat
