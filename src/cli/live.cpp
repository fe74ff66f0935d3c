#include "cli/live.hpp"

#include <sys/ioctl.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <optional>
#include <utility>

#include "cli/interrupts.hpp"
#include "lampbeat/json.hpp"
#include "lampbeat/live.hpp"
#include "lampbeat/meter.hpp"
#include "lampbeat/text.hpp"

namespace lampbeat::cli {

namespace {

constexpr double between_readings_s = 0.5;
/// Half of the time at most goes into readings; the rest is the whole measurement's.
constexpr double rest_for_each = 2.0;

/// The columns of the terminal behind standard error, on which the line must not wrap.
int terminal_columns() {
  constexpr int fewest = 40;
  constexpr int most = 100;
  winsize size{};
  if (ioctl(STDERR_FILENO, TIOCGWINSZ, &size) != 0 || size.ws_col == 0) return most;
  return std::clamp<int>(size.ws_col - 1, fewest, most);
}

/// Shows readings one after another.
class LiveDisplay {
 public:
  LiveDisplay(LiveLines lines, const Session& session)
      : lines_(lines), session_(session), in_place_(session) {
    style_ = session.style;
    constexpr int spelling_room = 4;  // for what a terminal without Unicode needs spelled out
    style_.width = terminal_columns() - (style_.unicode ? 0 : spelling_room);
    if (lines_ == LiveLines::people) in_place_.show("waiting for samples (Ctrl-C ends)");
  }

  void show(const LiveReading& reading) {
    if (lines_ == LiveLines::programs) {
      print_line(to_json(reading));
    } else if (session_.progress) {
      const std::string line = to_text(reading, style_, true);
      in_place_.show(style_.unicode ? line : in_ascii(line));
    } else {
      print_text(session_, to_text(reading, style_, false));
      std::fflush(stdout);
    }
  }

 private:
  LiveLines lines_;
  const Session& session_;
  TextStyle style_;
  RunningLine in_place_;
};

/// Hears the samples and says when a reading is due.
class LiveReader {
 public:
  LiveReader(const CaptureFormat& format, const MeasurementSettings& settings, LiveDisplay& display)
      : meter_(format, settings), display_(display) {}

  void hear(const SampleBlock& block) {
    using clock = std::chrono::steady_clock;
    meter_.hear(block);
    if (meter_.heard_s() < due_s_) return;
    const clock::time_point begin = clock::now();
    if (const auto reading = meter_.reading()) display_.show(*reading);
    const std::chrono::duration<double> took = clock::now() - begin;
    due_s_ = meter_.heard_s() + std::max(between_readings_s, rest_for_each * took.count());
  }

 private:
  LiveMeter meter_;
  LiveDisplay& display_;
  double due_s_ = between_readings_s;
};

}  // namespace

Measurement measure_live(const std::string& path, const CaptureArguments& arguments,
                         const MeasurementSettings& settings, LiveLines lines,
                         const Session& session) {
  LiveDisplay display(lines, session);
  std::optional<LiveReader> reader;
  CaptureOptions options = arguments.capture;
  options.live =
      LiveStream{[&](const SampleBlock& block) { reader->hear(block); }, interrupts_descriptor()};
  const auto source = open_capture(path, options);
  reader.emplace(source->format(), settings, display);
  return measure(*source, settings);
}

}  // namespace lampbeat::cli
