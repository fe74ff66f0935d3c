#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <iterator>
#include <memory>
#include <optional>
#include <string>

#include "capture/sound/sound_file_writer.hpp"
#include "cli/commands.hpp"
#include "cli/described_light.hpp"
#include "cli/practice_clip.hpp"
#include "files/growing_file.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/synth.hpp"
#include "words/numbers.hpp"
#include "words/units.hpp"

namespace lampbeat::cli {

namespace {

enum class TimeUnit { s, ms, us };

TimeUnit time_unit_named(const std::string& name) {
  return name == "us" ? TimeUnit::us : name == "ms" ? TimeUnit::ms : TimeUnit::s;
}

const char* name_of(TimeUnit unit) {
  return unit == TimeUnit::us ? "us" : unit == TimeUnit::ms ? "ms" : "s";
}

struct SynthOptions {
  std::string output;
  DescribedLight light;
  DescribedCamera camera;
  SensorRecipe sensor;
  std::optional<double> level;
  std::optional<double> noise_percent;
  std::optional<int> bits;
  std::int64_t seed = 1;
  bool counts = false;
  TimeUnit time_unit = TimeUnit::s;
};

bool ends_with(const std::string& text, const std::string& ending) {
  return text.size() >= ending.size() &&
         std::equal(ending.rbegin(), ending.rend(), text.rbegin(),
                    [](char wanted, char c) { return wanted == std::tolower(c); });
}

/// Brightest reading to expect: the light's crest, and noise as seen once in some million samples.
double highest_reading(const LightRecipe& light, const SensorRecipe& sensor, double level) {
  const double crest = light.highest_possible() - (sensor.coupling_corner_hz > 0.0 ? 1.0 : 0.0);
  return sensor.dark + level * (crest + 5.0 * sensor.noise_percent / 100.0);
}

/// A level that keeps the crests below full scale: the asked one, or 0.25 and lower where needed.
double fitting_level(const LightRecipe& light, const SensorRecipe& sensor,
                     std::optional<double> asked, const Session& session) {
  const double crest_of_one = highest_reading(light, sensor, 1.0) - sensor.dark;
  const double room = 1.0 - sensor.dark;
  const double usual = SensorRecipe{}.level;
  if (!(room > 0.0)) {
    throw UsageError(fmt::format(
        "--dark {:g} leaves no room for light: full scale is 1, and a dark reading lies well below",
        sensor.dark));
  }
  if (!asked) {
    if (usual * crest_of_one < room) return usual;
    // Three decimals, so that the note can be typed back as an option.
    const double fitting = std::floor(0.8 * room / crest_of_one * 1000.0) / 1000.0;
    const double level = std::max(fitting, 0.001);
    note(session, fmt::format("this light peaks at {} times its mean, so its level is {:g} and "
                              "not {:g} of full scale",
                              words::in_digits_at_most(light.highest_possible(), 3), level, usual));
    return level;
  }
  if (highest_reading(light, sensor, *asked) < room + sensor.dark) return *asked;
  throw UsageError(
      fmt::format("at --level {:g} this light would peak at {}, and full scale is 1; use "
                  "--level {} or less, or a .csv without --bits, which has no full scale",
                  *asked, words::in_digits_at_most(highest_reading(light, sensor, *asked), 3),
                  words::in_digits_at_most(0.99 * room / crest_of_one, 3)));
}

void note_aliases(const LightRecipe& light, const SensorRecipe& sensor, const Session& session) {
  for (const LightComponent& c : light.base.components) {
    if (c.hz < 0.5 * sensor.rate_hz) continue;
    note(session, fmt::format("{} is above half the sampling rate and will show up as another "
                              "frequency, as it would with a real sensor",
                              words::hertz(c.hz, 6)));
  }
}

void write_sound(const SynthOptions& options, const LightRecipe& light) {
  const bool flac = ends_with(options.output, ".flac");
  const double rate_hz = options.sensor.rate_hz;
  if (rate_hz != std::floor(rate_hz) || rate_hz > (flac ? 655350.0 : 1e7)) {
    throw UsageError(
        fmt::format("a {} file has a whole number of samples per second, at most {}; "
                    "{:g} fits a .csv only",
                    flac ? "FLAC" : "WAV", flac ? 655350 : 10000000, rate_hz));
  }
  const bool sixteen = options.bits && *options.bits <= 16;
  const capture::sound::SoundFormat format =
      flac ? (sixteen ? capture::sound::SoundFormat::flac_16 : capture::sound::SoundFormat::flac_24)
           : (sixteen ? capture::sound::SoundFormat::wav_16
                      : capture::sound::SoundFormat::wav_float);
  capture::sound::SoundFileWriter file(options.output, format, static_cast<int>(rate_hz));
  synthesise(
      light, options.sensor,
      [&](const std::vector<double>&, const std::vector<double>& value) { file.write(value); });
  file.close();
}

/// A table as a logger writes it. Times keep twelve digits, so that they differ over a whole day;
/// in µs they are whole, as a microcontroller counts them.
void write_table(const SynthOptions& options, const LightRecipe& light) {
  const double full_count = options.counts ? std::ldexp(1.0, *options.bits) : 1.0;
  files::GrowingFile file(options.output);
  file.write(fmt::format("time_{},light\n", name_of(options.time_unit)));
  std::string text;
  synthesise(light, options.sensor,
             [&](const std::vector<double>& time_s, const std::vector<double>& value) {
               text.clear();
               auto end = std::back_inserter(text);
               for (std::size_t i = 0; i < value.size(); ++i) {
                 if (options.time_unit == TimeUnit::us) {
                   fmt::format_to(end, "{:.0f},{:.9g}\n", std::round(1e6 * time_s[i]),
                                  full_count * value[i]);
                 } else {
                   const double time =
                       options.time_unit == TimeUnit::ms ? 1e3 * time_s[i] : time_s[i];
                   fmt::format_to(end, "{:.12g},{:.9g}\n", time, full_count * value[i]);
                 }
               }
               file.write(text);
             });
  file.close();
}

void make_capture(SynthOptions options, const Session& session) {
  // A covered sensor sees none of it, so there is nothing to describe.
  const LightRecipe light =
      options.sensor.covered ? LightRecipe{} : light_recipe(options.light, session);
  const bool sound = !ends_with(options.output, ".csv") && options.output != "-";
  if (sound && (options.counts || options.time_unit != TimeUnit::s)) {
    throw UsageError("--counts and --time-unit describe a table; name the output with .csv");
  }
  if (options.bits && (*options.bits < 4 || *options.bits > 24)) {
    throw UsageError(
        fmt::format("--bits is a converter's resolution, 4 to 24, not {}", *options.bits));
  }
  if (options.counts && !options.bits) {
    throw UsageError("--counts needs the converter's resolution; add --bits 10 or --bits 12");
  }
  options.sensor.noise_percent = options.noise_percent.value_or(0.0);
  options.sensor.bits = options.bits.value_or(0);
  options.sensor.bipolar = sound;
  options.sensor.level = options.level.value_or(options.sensor.level);
  if (sound || options.bits) {
    options.sensor.level = fitting_level(light, options.sensor, options.level, session);
  }
  note_aliases(light, options.sensor, session);
  if (sound) {
    write_sound(options, light);
  } else {
    write_table(options, light);
  }
  if (options.output != "-") {
    note(session, fmt::format("made {}: {} samples at {} Hz, a synthetic capture", options.output,
                              sample_count(options.sensor),
                              words::in_digits_at_most(options.sensor.rate_hz, 6)));
  }
}

void run(SynthOptions options, const Session& session) {
  if (options.seed < 0) throw UsageError("--seed is a whole number from 0 up");
  options.sensor.seed = static_cast<std::uint64_t>(options.seed);
  const bool to_standard_output = options.output == "-";
  if (ends_with(options.output, ".y4m") || (to_standard_output && !options.camera.fps.empty())) {
    return make_clip(light_recipe(options.light, session), options.camera,
                     {options.output, options.sensor.seconds, options.bits, options.noise_percent,
                      options.sensor.seed},
                     session);
  }
  if (!options.camera.fps.empty()) {
    throw UsageError(
        fmt::format("--fps describes a camera, and a camera makes a clip; name the "
                    "output with .y4m, not {}",
                    options.output));
  }
  for (const char* known : {".wav", ".flac", ".csv"}) {
    if (ends_with(options.output, known)) return make_capture(options, session);
  }
  if (to_standard_output) return make_capture(options, session);
  throw UsageError(fmt::format(
      "what should {} be? name it with .wav or .flac (a sound file), .csv (a table) or .y4m (a "
      "clip)",
      options.output));
}

constexpr const char* sensor_group = "the sensor (.wav, .flac, .csv)";

void add_sensor_options(CLI::App& command, SynthOptions& options) {
  command.add_option("--rate", options.sensor.rate_hz, "samples per second")
      ->type_name("HZ")
      ->capture_default_str()
      ->group(sensor_group);
  command
      .add_option("--level", options.level, "mean level, full scale 1 (0.25; lower if it peaks)")
      ->type_name("LEVEL")
      ->group(sensor_group);
  command.add_option("--dark", options.sensor.dark, "reading without light, added to everything")
      ->type_name("LEVEL")
      ->group(sensor_group);
  command.add_flag("--covered", options.sensor.covered, "a dark capture: the sensor sees no light")
      ->group(sensor_group);
  command
      .add_option("--jitter", options.sensor.jitter_percent,
                  "uneven sampling, up to ± this much of the interval")
      ->type_name("PERCENT")
      ->group(sensor_group);
  command
      .add_option("--coupling-corner", options.sensor.coupling_corner_hz,
                  "AC-coupled like a sound card, with this corner frequency")
      ->type_name("HZ")
      ->group(sensor_group);
  command
      .add_option_function<std::string>(
          "--time-unit",
          [&options](const std::string& name) { options.time_unit = time_unit_named(name); },
          "unit of a table's times: s, ms or us")
      ->type_name("UNIT")
      ->check(CLI::IsMember({"s", "ms", "us"}))
      ->group(sensor_group);
  command.add_flag("--counts", options.counts, "a table of the converter's counts, with --bits")
      ->group(sensor_group);
}

}  // namespace

void add_synth(CLI::App& app, Session& session) {
  auto options = std::make_shared<SynthOptions>();
  CLI::App* command = app.add_subcommand(
      "synth", "make a practice capture or clip, to try everything without a sensor");
  command
      ->add_option("OUT", options->output,
                   "OUT.wav, OUT.flac, OUT.csv or OUT.y4m; - is standard output: a clip with\n"
                   "--fps, a table without")
      ->type_name("OUT")
      ->required();
  add_light_options(*command, options->light);
  command->add_option("--seconds", options->sensor.seconds, "how long")
      ->type_name("S")
      ->capture_default_str();
  command
      ->add_option("--noise", options->noise_percent,
                   "white noise, standard deviation, % of the mean (0; of each pixel: 1)")
      ->type_name("PERCENT");
  command
      ->add_option("--bits", options->bits,
                   "resolution of the converter, 4 to 24; of a clip: 8 or 10")
      ->type_name("N");
  command->add_option("--seed", options->seed, "another seed, other noise; same seed, same file")
      ->type_name("N")
      ->capture_default_str();
  add_sensor_options(*command, *options);
  add_camera_options(*command, options->camera);
  command->callback([options, &session] { run(*options, session); });
}

}  // namespace lampbeat::cli
