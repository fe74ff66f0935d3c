#include <fmt/format.h>

#include <cstdint>
#include <memory>

#include "cli/commands.hpp"
#include "cli/described_light.hpp"
#include "cli/practice_capture.hpp"
#include "cli/practice_clip.hpp"
#include "cli/practice_file.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/synth.hpp"

namespace lampbeat::cli {

namespace {

struct SynthOptions {
  PracticeFile file;
  std::int64_t seed = 1;  ///< as typed: anything below 0 is refused
  DescribedLight light;
  DescribedCamera camera;
  DescribedSensor sensor;
};

/// A covered sensor sees none of the light, so there is nothing to describe.
void make_capture(const SynthOptions& options, const Session& session) {
  make_capture(options.sensor.recipe.covered ? LightRecipe{} : light_recipe(options.light, session),
               options.sensor, options.file, session);
}

void run(SynthOptions options, const Session& session) {
  if (options.seed < 0) throw UsageError("--seed is a whole number from 0 up");
  PracticeFile& file = options.file;
  file.seed = static_cast<std::uint64_t>(options.seed);
  const bool to_standard_output = file.output == "-";
  if (has_ending(file, ".y4m") || (to_standard_output && !options.camera.fps.empty())) {
    return make_clip(light_recipe(options.light, session), options.camera, file, session);
  }
  if (!options.camera.fps.empty()) {
    throw UsageError(
        fmt::format("--fps describes a camera, and a camera makes a clip; name the "
                    "output with .y4m, not {}",
                    file.output));
  }
  for (const char* known : {".wav", ".flac", ".csv"}) {
    if (has_ending(file, known)) return make_capture(options, session);
  }
  if (to_standard_output) return make_capture(options, session);
  throw UsageError(fmt::format(
      "what should {} be? name it with .wav or .flac (a sound file), .csv (a table) or .y4m (a "
      "clip)",
      file.output));
}

}  // namespace

void add_synth(CLI::App& app, Session& session) {
  auto options = std::make_shared<SynthOptions>();
  CLI::App* command = app.add_subcommand(
      "synth", "make a practice capture or clip, to try everything without a sensor");
  command
      ->add_option("OUT", options->file.output,
                   "OUT.wav, OUT.flac, OUT.csv or OUT.y4m; - is standard output: a clip with\n"
                   "--fps, a table without")
      ->type_name("OUT")
      ->required();
  add_light_options(*command, options->light);
  command->add_option("--seconds", options->file.seconds, "how long")
      ->type_name("S")
      ->capture_default_str();
  command
      ->add_option("--noise", options->file.noise_percent,
                   "white noise, standard deviation, % of the mean (0; of each pixel: 1)")
      ->type_name("PERCENT");
  command
      ->add_option("--bits", options->file.bits,
                   "resolution of the converter, 4 to 24; of a clip: 8 or 10")
      ->type_name("N");
  command->add_option("--seed", options->seed, "another seed, other noise; same seed, same file")
      ->type_name("N")
      ->capture_default_str();
  add_sensor_options(*command, options->sensor);
  add_camera_options(*command, options->camera);
  command->callback([options, &session] { run(*options, session); });
}

}  // namespace lampbeat::cli
