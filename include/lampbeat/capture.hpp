#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "lampbeat/finding.hpp"

namespace lampbeat {

/// Consecutive samples. `value` is in the capture's own unit (full scale, volts, counts).
struct SampleBlock {
  std::span<const double> value;
  /// Seconds since the first sample delivered (the first at or after `from_s`), one per value,
  /// never decreasing; empty when the capture is evenly sampled, and then sample i of those
  /// delivered was taken at i / rate_hz.
  std::span<const double> time_s;
  /// How far a time may be from the truth where times were rebuilt from a clock coarser than the
  /// samples; 0 where they are as written.
  double time_bound_s = 0.0;
};

/// A recording that goes on while it is read.
struct LiveStream {
  /// Hears every sample of the wanted part as soon as it is read, its time as written: blocks
  /// follow once their times are settled. Called from within `CaptureSource::next`.
  std::function<void(const SampleBlock&)> hear;
  /// Once this descriptor can be read, the recording ends with the last whole sample; -1: never.
  int stop_descriptor = -1;
};

/// Which part of a file is the sensor's signal, and how to read it.
struct CaptureOptions {
  std::optional<double> rate_hz;            ///< samples per second of a table without times
  std::optional<std::string> time_column;   ///< header name or 1-based number
  std::optional<std::string> value_column;  ///< header name or 1-based number
  std::optional<int> channel;               ///< 1-based channel of a sound file; default 1
  /// A sensor that reads lower in more light: every reading changes its sign.
  bool invert = false;
  /// Leave out rows of a table that cannot be read, at most one in a hundred, and say where.
  bool skip_bad_rows = false;
  /// For a live recording; samples then come in short blocks.
  std::optional<LiveStream> live;
  /// How far the recorder's sampling rate may be from what it says, parts in a million; default: by
  /// the kind of the capture.
  std::optional<double> clock_ppm;
  double from_s = 0.0;          ///< skip this much from the first sample on
  std::optional<double> for_s;  ///< then use this much; default: to the end
};

/// What is known of a capture before its samples are read.
struct CaptureFormat {
  std::string name;  ///< path as given, or "standard input"
  std::string kind;  ///< for people: "WAV, 16-bit, 48000 Hz, channel 1 of 2" or "text table"
  bool evenly_sampled = false;    ///< true: blocks carry no times and `rate_hz` is exact
  std::optional<double> rate_hz;  ///< nominal samples per second, when the file states it
  /// How far the recorder's clock may be off, parts in a million: 50 for a sound file (a sound
  /// card's crystal), 5000 for a table whose times count whole milliseconds or microseconds (a
  /// microcontroller's ceramic resonator), 100 for any other table (a crystal of any instrument);
  /// common practice, no source. 0 for samples in memory, whose rate is the caller's word.
  double clock_ppm = 0.0;
  bool inverted = false;    ///< every reading's sign was changed (`CaptureOptions::invert`)
  bool sound_file = false;  ///< came through an audio format: DC level is suspect
  /// The lowest and highest value the recorder can write, where it saturates, when known: -1 and
  /// 1 - `step` for integer sound files; float files and tables state none.
  std::optional<double> rail_low;
  std::optional<double> rail_high;
  std::optional<double>
      step;  ///< quantisation step in sample units, when known (2/65536 for 16-bit)
};

/// The clock behind a capture's times, where they had to be rebuilt from the order of the rows
/// because the clock's tick or the printing of its times is too coarse.
struct SampleClock {
  bool rebuilt = false;
  double tick_s = 0.0;        ///< the coarsest tick that was met
  double interval_s = 0.0;    ///< between samples, by the rebuilt times
  double rate_bound = 0.0;    ///< how far the rate may be from the truth, as a fraction of it
  double time_bound_s = 0.0;  ///< how far any one time may be
};

/// A sensor log being read front to back, in blocks, in memory independent of its length.
class CaptureSource {
 public:
  virtual ~CaptureSource() = default;
  virtual const CaptureFormat& format() const = 0;
  /// The next samples, valid until the following call; an empty block at the end.
  /// Throws InputError naming the file and the line, sample or byte that cannot be used, or when
  /// fewer than two samples came in all.
  virtual SampleBlock next() = 0;
  /// What the reader noticed so far. Complete only after `next` has returned an empty block. Codes:
  /// channel_assumed, column_assumed, rate_ignored, time_unit_assumed, counter_wrapped,
  /// repeated_times, coarse_clock, missing_samples, bad_rows_left_out, blank_rows_left_out,
  /// interval_contradicted, lossy_sound.
  virtual const Findings& findings() const = 0;
  /// The clock its times were rebuilt by. Complete only after `next` has returned an empty block.
  virtual SampleClock clock() const { return {}; }
};

/// Opens a sound file (WAV, RF64, W64, AIFF, CAF, FLAC; with FFmpeg's libraries M4A, MP3, Ogg) or
/// a text table, told apart by content. `path` "-" reads standard input, which may be a live pipe.
/// Throws InputError when the file is missing, empty or of no known kind; UsageError when the
/// options do not fit it (a channel or column it does not have, a table that needs `rate_hz`).
std::unique_ptr<CaptureSource> open_capture(const std::string& path, const CaptureOptions& options);

/// Samples already in memory, as a source; used by tests and by other programs.
/// `time_s` empty means evenly sampled at `rate_hz`; coarse times are rebuilt as in a table.
std::unique_ptr<CaptureSource> capture_from_samples(std::string name, std::vector<double> value,
                                                    double rate_hz,
                                                    std::vector<double> time_s = {});

}  // namespace lampbeat
