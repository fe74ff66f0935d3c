#include "cli/practice_capture.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <string>
#include <vector>

#include "capture/sound/sound_file_writer.hpp"
#include "files/growing_file.hpp"
#include "lampbeat/error.hpp"
#include "words/numbers.hpp"
#include "words/units.hpp"

namespace lampbeat::cli {

namespace {

constexpr const char* sensor_group = "the sensor (.wav, .flac, .csv)";

TimeUnit time_unit_named(const std::string& name) {
  return name == "us" ? TimeUnit::us : name == "ms" ? TimeUnit::ms : TimeUnit::s;
}

const char* name_of(TimeUnit unit) {
  return unit == TimeUnit::us ? "us" : unit == TimeUnit::ms ? "ms" : "s";
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

void write_sound(const LightRecipe& light, const SensorRecipe& sensor, const PracticeFile& file) {
  // What the formats hold: FLAC 2^16 − 1 tens of hertz; a WAV more than any converter gives.
  constexpr double most_flac_hz = 655350.0;
  constexpr double most_wav_hz = 1e7;
  const bool flac = has_ending(file, ".flac");
  const double most_hz = flac ? most_flac_hz : most_wav_hz;
  const double rate_hz = sensor.rate_hz;
  if (rate_hz != std::floor(rate_hz) || rate_hz > most_hz) {
    throw UsageError(
        fmt::format("a {} file has a whole number of samples per second, at most {:.0f}; "
                    "{:g} fits a .csv only",
                    flac ? "FLAC" : "WAV", most_hz, rate_hz));
  }
  const bool sixteen = file.bits && *file.bits <= 16;
  const capture::sound::SoundFormat format =
      flac ? (sixteen ? capture::sound::SoundFormat::flac_16 : capture::sound::SoundFormat::flac_24)
           : (sixteen ? capture::sound::SoundFormat::wav_16
                      : capture::sound::SoundFormat::wav_float);
  capture::sound::SoundFileWriter sound(file.output, format, static_cast<int>(rate_hz));
  synthesise(light, sensor, [&](const std::vector<double>&, const std::vector<double>& value) {
    sound.write(value);
  });
  sound.close();
}

/// A table as a logger writes it. Times keep twelve digits, so that they differ over a whole day;
/// in µs they are whole, as a microcontroller counts them.
void write_table(const LightRecipe& light, const SensorRecipe& sensor, double full_count,
                 TimeUnit unit, const PracticeFile& file) {
  files::GrowingFile table(file.output);
  table.write(fmt::format("time_{},light\n", name_of(unit)));
  std::string text;
  synthesise(light, sensor,
             [&](const std::vector<double>& time_s, const std::vector<double>& value) {
               text.clear();
               auto end = std::back_inserter(text);
               for (std::size_t i = 0; i < value.size(); ++i) {
                 if (unit == TimeUnit::us) {
                   fmt::format_to(end, "{:.0f},{:.9g}\n", std::round(1e6 * time_s[i]),
                                  full_count * value[i]);
                 } else {
                   const double time = unit == TimeUnit::ms ? 1e3 * time_s[i] : time_s[i];
                   fmt::format_to(end, "{:.12g},{:.9g}\n", time, full_count * value[i]);
                 }
               }
               table.write(text);
             });
  table.close();
}

}  // namespace

void add_sensor_options(CLI::App& command, DescribedSensor& sensor) {
  command.add_option("--rate", sensor.recipe.rate_hz, "samples per second")
      ->type_name("HZ")
      ->capture_default_str()
      ->group(sensor_group);
  command.add_option("--level", sensor.level, "mean level, full scale 1 (0.25; lower if it peaks)")
      ->type_name("LEVEL")
      ->group(sensor_group);
  command.add_option("--dark", sensor.recipe.dark, "reading without light, added to everything")
      ->type_name("LEVEL")
      ->group(sensor_group);
  command.add_flag("--covered", sensor.recipe.covered, "a dark capture: the sensor sees no light")
      ->group(sensor_group);
  command
      .add_option("--jitter", sensor.recipe.jitter_percent,
                  "uneven sampling, up to ± this much of the interval")
      ->type_name("PERCENT")
      ->group(sensor_group);
  command
      .add_option("--coupling-corner", sensor.recipe.coupling_corner_hz,
                  "AC-coupled like a sound card, with this corner frequency")
      ->type_name("HZ")
      ->group(sensor_group);
  command
      .add_option_function<std::string>(
          "--time-unit",
          [&sensor](const std::string& name) { sensor.time_unit = time_unit_named(name); },
          "unit of a table's times: s, ms or us")
      ->type_name("UNIT")
      ->check(CLI::IsMember({"s", "ms", "us"}))
      ->group(sensor_group);
  command.add_flag("--counts", sensor.counts, "a table of the converter's counts, with --bits")
      ->group(sensor_group);
}

void make_capture(const LightRecipe& light, const DescribedSensor& described,
                  const PracticeFile& file, const Session& session) {
  const bool sound = !has_ending(file, ".csv") && file.output != "-";
  if (sound && (described.counts || described.time_unit != TimeUnit::s)) {
    throw UsageError("--counts and --time-unit describe a table; name the output with .csv");
  }
  if (file.bits && (*file.bits < 4 || *file.bits > 24)) {
    throw UsageError(
        fmt::format("--bits is a converter's resolution, 4 to 24, not {}", *file.bits));
  }
  if (described.counts && !file.bits) {
    throw UsageError("--counts needs the converter's resolution; add --bits 10 or --bits 12");
  }
  SensorRecipe sensor = described.recipe;
  sensor.seconds = file.seconds;
  sensor.seed = file.seed;
  sensor.noise_percent = file.noise_percent.value_or(0.0);
  sensor.bits = file.bits.value_or(0);
  sensor.bipolar = sound;
  sensor.level = described.level.value_or(sensor.level);
  if (sound || file.bits) sensor.level = fitting_level(light, sensor, described.level, session);
  note_aliases(light, sensor, session);
  if (sound) {
    write_sound(light, sensor, file);
  } else {
    const double full_count = described.counts ? std::ldexp(1.0, *file.bits) : 1.0;
    write_table(light, sensor, full_count, described.time_unit, file);
  }
  if (file.output != "-") {
    note(session, fmt::format("made {}: {} samples at {} Hz, a synthetic capture", file.output,
                              sample_count(sensor), words::in_digits_at_most(sensor.rate_hz, 6)));
  }
}

}  // namespace lampbeat::cli
