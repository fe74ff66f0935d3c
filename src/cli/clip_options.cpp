#include "cli/clip_options.hpp"

#include <memory>
#include <utility>

#include "cli/numbers.hpp"
#include "lampbeat/camera.hpp"
#include "lampbeat/clip.hpp"

namespace lampbeat::cli {

namespace {

/// Photographs are encoded as sRGB, clips as BT.709, unless the file or somebody says otherwise.
TransferFunction transfer_of(const ClipArguments& a, const ClipFormat& format) {
  if (!a.transfer.empty()) return parse_transfer(a.transfer);
  if (format.transfer) return *format.transfer;
  return format.still ? TransferFunction{Transfer::srgb, {}} : TransferFunction{};
}

}  // namespace

FootageSettings ClipArguments::resolved(const ClipFormat& format) const {
  FootageSettings settings;
  if (!fps.empty()) settings.fps = parse_frame_rate(fps);
  settings.transfer = transfer_of(*this, format);
  if (full_range) settings.full_range = full_range;
  settings.plain_wall = plain_wall;
  settings.light_hz = light_hz;
  if (!readout.empty()) settings.readout_s = parse_readout_s(readout);
  const std::optional<FrameRate> shot_at = settings.fps ? settings.fps : format.fps;
  if (shot_at) require_readable(settings.readout_s, {&*shot_at, 1});
  if (!shutter.empty()) {
    settings.exposure_s = parse_exposure_s(shutter, shot_at.value_or(FrameRate{1, 1}));
  }
  return settings;
}

void add_clip_options(CLI::App& command, ClipArguments& a) {
  command
      .add_option("--fps", a.fps, "frame rate it was filmed at, if the file is wrong: 29.97, 240")
      ->type_name("RATE");
  command
      .add_option("--transfer", a.transfer,
                  "bt709 (clips) or srgb (stills) unless tagged, hlg, pq, linear, gamma=N")
      ->type_name("CURVE");
  command
      .add_option_function<std::string>(
          "--range", [&a](const std::string& range) { a.full_range = range == "full"; },
          "code values: limited or full, if the file is wrong")
      ->check(CLI::IsMember({"limited", "full"}))
      ->type_name("limited|full");
  command
      .add_option("--reference", a.reference,
                  "same view at a safe shutter: shows bands that stand still")
      ->type_name("CLIP");
  command.add_flag("--plain-wall", a.plain_wall,
                   "the view is one evenly lit plain wall: stripes in it are bands");
  add_number(command, "--light-hz", a.light_hz, "HZ",
             "rhythm of the light (100 or 120): gives the camera's readout time")
      ->check(number_between(10.0, 100000.0, "a frequency in hertz"));
  command.add_option("--readout", a.readout, "the camera's readout: gives the light's frequency")
      ->type_name("TIME|global");
  command
      .add_option("--shutter", a.shutter, "the shutter it was filmed at: gives the light itself")
      ->type_name("TIME|ANGLE");
}

FootageResult measure_clip(const std::string& path, const ClipArguments& arguments,
                           std::vector<Light> suspects) {
  const auto clip = open_clip(path);
  FootageSettings settings = arguments.resolved(clip->format());
  settings.suspects = std::move(suspects);
  const auto reference = arguments.reference.empty() ? nullptr : open_clip(arguments.reference);
  return measure_footage(*clip, reference.get(), settings);
}

}  // namespace lampbeat::cli
