#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cli/capture_options.hpp"
#include "cli/clip_options.hpp"
#include "cli/session.hpp"
#include "lampbeat/comparison.hpp"
#include "lampbeat/room_log.hpp"

namespace lampbeat::cli {

/// How the inputs of a comparison are read.
struct OccasionReading {
  CaptureArguments capture;
  MeasurementSettings settings;
  ClipArguments clip;
};

/// What one input of a comparison held.
struct OccasionInput {
  std::string path;
  bool lines = false;                      ///< of JSON, a log or not
  bool named = false;                      ///< each of them says what it is of
  std::vector<Occasion> occasions;         ///< each with the name of its fixture
  std::vector<std::size_t> numbers;        ///< of their lines
  std::vector<UnreadableLine> unreadable;  ///< those left out
};

/// A file (or "-", standard input) of JSON lines gives its lines, a saved light itself; a clip or a
/// still is measured as `footage` would, anything else as `measure` would. Fixtures without a name
/// are called after their files. Throws InputError where nothing could be read.
OccasionInput read_occasions(const std::string& path, const OccasionReading& reading,
                             const Session& session);

/// One fixture, oldest first.
struct Course {
  std::string fixture;
  OccasionKind kind = OccasionKind::light;  ///< what a log's lines were of
  std::vector<Occasion> occasions;
  bool in_last = false;  ///< the last input has it
};

/// The occasions of all inputs by fixture, in the order of their first lines. Where each input
/// holds but one, they are of one fixture, unless two say themselves that they are of different
/// ones; else a fixture's captures and the clips of it are compared by themselves. Of an input,
/// those of a fixture are put in the order of their dates, where all of them have one. `since_s`
/// leaves out what is older. Throws UsageError where that meets an occasion without a date.
std::vector<Course> courses_of(std::vector<OccasionInput> inputs,
                               std::optional<std::int64_t> since_s);

}  // namespace lampbeat::cli
