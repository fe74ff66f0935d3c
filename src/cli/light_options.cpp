#include "cli/light_options.hpp"

#include <fmt/format.h>
#include <sys/stat.h>

#include "cli/capture_options.hpp"
#include "cli/numbers.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/frequency_light.hpp"
#include "lampbeat/light_profile.hpp"
#include "lampbeat/text_style.hpp"
#include "lampbeat/typical.hpp"
#include "words/foreign_text.hpp"
#include "words/number_reader.hpp"
#include "words/sections.hpp"
#include "words/wrapping.hpp"

namespace lampbeat::cli {

namespace {

struct Named {
  std::string name;
  double share = 1.0;
};

bool exists(const std::string& path) {
  struct stat status {};
  return stat(path.c_str(), &status) == 0;
}

/// Splits "ceiling.json:0.6". A file whose own name ends like a share is taken whole.
Named split_share(const std::string& text, bool names_a_file) {
  const std::size_t colon = text.rfind(':');
  if (colon == std::string::npos || colon == 0 || (names_a_file && exists(text)))
    return {text, 1.0};
  Named named{text.substr(0, colon), 0.0};
  std::string share = text.substr(colon + 1);
  if (!share.empty() && share.back() == '%') share.pop_back();
  named.share = words::finite_number_in(share).value_or(0.0);
  if (!(named.share > 0.0 && named.share < 1e9)) {
    throw UsageError(
        fmt::format("'{}': the share after the colon should be a number above zero, such as "
                    "ceiling.json:0.6",
                    text));
  }
  return named;
}

double hertz_in(const std::string& text) {
  const auto hz = number_from(text, Unit::hertz);
  if (!hz) {
    throw UsageError(
        fmt::format("--light-hz expects a number of hertz, such as 120 or 120:0.6; got '{}'",
                    words::excerpt(text)));
  }
  return *hz;
}

}  // namespace

Light light_from_file(const std::string& path, const Session& session) {
  if (path != "-" && exists(path) && is_light_profile(path)) return read_light_profile(path);
  const CaptureArguments plain;
  return light_from(measure_capture(path, plain, plain.resolved(), session));
}

PredictionOptions LightArguments::options() const {
  PredictionOptions options;
  options.mains_hz = mains_hz;
  options.mains_tolerance_hz = mains_tolerance_hz;
  options.clock_tolerance_percent = clock_tolerance_percent;
  options.viewing.distance_heights = viewing_distance;
  options.viewing.screen_cd_m2 = screen_cd_m2;
  options.viewing.recording_bits = bits;
  options.viewing.noise_percent = camera_noise_percent;
  if (playback) options.viewing.playback_fps = parse_frame_rate(*playback).per_s();
  return options;
}

void add_clock_tolerance(CLI::App& command, std::optional<double>& percent) {
  add_number(command, "--clock-tolerance", percent, "PERCENT",
             "how far the own clock of a light that does not follow the mains may be off (default: "
             "1, or three times what its capture shows where that is more)")
      ->check(number_between(0, 20, "a percentage of its frequency"));
}

void add_light_options(CLI::App& command, LightArguments& a) {
  command
      .add_option("--light", a.lights,
                  "a light: profile saved by measure, or a capture; SHARE is its part of the "
                  "subject's light; repeatable")
      ->type_name("FILE[:SHARE]")
      ->expected(1)
      ->take_all();
  command
      .add_option(
          "--light-hz", a.frequencies,
          "any light of this frequency, short flashes included, when nothing more is known; "
          "repeatable")
      ->type_name("HZ[:SHARE]")
      ->expected(1)
      ->take_all();
  command
      .add_option("--typical", a.typicals, "a generic light, when there is no sensor; repeatable")
      ->type_name("NAME[:SHARE]")
      ->expected(1)
      ->take_all();
  command.add_flag("--list-typical", a.list_typical,
                   "list the generic lights and where their figures come from");
  add_circumstance_options(command, a);
}

void add_circumstance_options(CLI::App& command, LightArguments& a) {
  add_number(command, "--mains", a.mains_hz, "50|60|HZ",
             "mains frequency where you film; retunes the lights")
      ->check(number_between(10, 1000, "a mains frequency in hertz"));
  add_number(command, "--mains-tolerance", a.mains_tolerance_hz, "HZ",
             "how far the mains may drift (default: 0.5 at 50 Hz, 0.144 at 60 Hz, and as much more "
             "as a capture found it beside that)")
      ->check(number_between(0, 100, "a number of hertz"));
  add_clock_tolerance(command, a.clock_tolerance_percent);
  command.add_option("--viewing-distance", a.viewing_distance, "in picture heights (default 3.2)")
      ->type_name("HEIGHTS")
      ->check(number_between(0.3, 30, "a viewing distance in picture heights"));
  command
      .add_option("--screen", a.screen_cd_m2, "luminance of the wall on the screen (default 100)")
      ->type_name("CD/M2")
      ->check(number_between(0.1, 10000, "a luminance in cd/m2"));
  command
      .add_option("--playback", a.playback,
                  "frame rate the clip is shown at (default: as shot up to 60, slow motion at 30)")
      ->type_name("RATE");
  add_number(command, "--noise", a.camera_noise_percent, "PERCENT",
             "the camera's noise in one pixel: what it still hides counts as clean")
      ->check(number_between(0, 100, "a percentage"));
  command.add_option("--bits", a.bits, "bits of the recording, 8 or 10 (default 8)")
      ->type_name("8|10")
      ->check(CLI::IsMember({8, 10}));
}

std::vector<LightShare> lights_asked_for(const LightArguments& a, const Session& session) {
  std::vector<LightShare> lights;
  for (const std::string& text : a.lights) {
    const Named named = split_share(text, true);
    lights.push_back({light_from_file(named.name, session), named.share});
  }
  for (const std::string& text : a.frequencies) {
    const Named named = split_share(text, false);
    lights.push_back({light_of_frequency(hertz_in(named.name), a.mains_hz), named.share});
  }
  for (const std::string& text : a.typicals) {
    const Named named = split_share(text, false);
    if (!a.mains_hz && lights.empty()) {
      lights.push_back({typical_light(named.name, 60.0), named.share});
    } else {
      const double mains_hz =
          a.mains_hz ? *a.mains_hz : lights.front().light.mains_hz.value_or(60.0);
      lights.push_back({typical_light(named.name, mains_hz), named.share});
    }
  }
  if (lights.empty()) {
    throw UsageError(
        "which light? give --light FILE (a profile or a capture), --light-hz HZ or --typical NAME "
        "('lampbeat predict --list-typical' lists them)");
  }
  return lights;
}

std::vector<NamedFile> light_files(const LightArguments& a) {
  std::vector<NamedFile> files;
  for (const std::string& text : a.lights) {
    files.push_back({"--light", split_share(text, true).name});
  }
  return files;
}

std::string typical_list(const TextStyle& style) {
  std::string result;
  for (const TypicalLight& typical : typical_lights()) {
    result += words::bold(typical.name, style) + "\n";
    result += words::wrapped(typical.description, style.width, "    ") + "\n";
    result += words::wrapped("source: " + typical.source, style.width, "    ") + "\n";
  }
  return result;
}

}  // namespace lampbeat::cli
