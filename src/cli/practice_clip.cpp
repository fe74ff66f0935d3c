#include "cli/practice_clip.hpp"

#include <fmt/format.h>

#include <optional>
#include <vector>

#include "files/growing_file.hpp"
#include "lampbeat/camera.hpp"
#include "lampbeat/clip.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/rendering.hpp"
#include "lampbeat/shot.hpp"

namespace lampbeat::cli {

namespace {

constexpr const char* camera_group = "the camera (.y4m)";

/// Code values as the format wants them: one byte each, or two with the low one first.
void append_codes(std::string& bytes, const std::vector<std::uint16_t>& codes, int bits) {
  for (const std::uint16_t code : codes) {
    bytes += static_cast<char>(code & 0xFF);
    if (bits > 8) bytes += static_cast<char>(code >> 8);
  }
}

/// YUV4MPEG2 (manual page yuv4mpeg(5)) with 4:2:0 chroma, which every player and encoder takes,
/// although the wall is grey.
std::string header(const ClipRecipe& clip) {
  return fmt::format("YUV4MPEG2 W{} H{} F{}:{} Ip A1:1 {} XCOLORRANGE=LIMITED\n", clip.columns,
                     clip.shot.rows, clip.shot.fps.numerator, clip.shot.fps.denominator,
                     clip.bits == 8 ? "C420jpeg" : "C420p10 XYSCSS=420P10");
}

/// The two colour planes of a frame: no colour anywhere.
std::string grey_chroma(const ClipRecipe& clip) {
  const auto half = [](int side) { return static_cast<std::size_t>((side + 1) / 2); };
  const auto neutral = static_cast<std::uint16_t>(1 << (clip.bits - 1));
  std::string bytes;
  append_codes(bytes,
               std::vector<std::uint16_t>(2 * half(clip.columns) * half(clip.shot.rows), neutral),
               clip.bits);
  return bytes;
}

ClipRecipe recipe_of(const DescribedCamera& described, const PracticeFile& request) {
  ClipRecipe clip;
  const FrameRate fps = parse_frame_rate(described.fps.empty() ? "25" : described.fps);
  std::optional<double> readout_s;
  const double exposure_s = parse_exposure_s(described.shutter, fps);
  if (!described.readout.empty()) readout_s = parse_readout_s(described.readout);
  require_readable(readout_s, {&fps, 1});
  clip.shot = shot_of(fps, exposure_s, readout_s, described.rows);
  clip.columns = described.columns;
  clip.transfer = parse_transfer(described.transfer);
  clip.wall = described.wall_percent / 100.0;
  clip.seconds = request.seconds;
  clip.bits = request.bits.value_or(clip.bits);
  clip.noise_percent = request.noise_percent.value_or(clip.noise_percent);
  clip.seed = request.seed;
  return clip;
}

}  // namespace

void add_camera_options(CLI::App& command, DescribedCamera& camera) {
  command.add_option("--fps", camera.fps, "frame rate: 25 (default), 23.976, 30000/1001")
      ->type_name("RATE")
      ->group(camera_group);
  command.add_option("--shutter", camera.shutter, "180deg, 1/60, 16.7ms")
      ->type_name("TIME")
      ->capture_default_str()
      ->group(camera_group);
  command
      .add_option("--readout", camera.readout,
                  "first to last row: 16ms, or global (default: 16ms, or the frame where that is "
                  "shorter)")
      ->type_name("TIME")
      ->group(camera_group);
  command.add_option("--rows", camera.rows, "picture height")
      ->type_name("N")
      ->capture_default_str()
      ->group(camera_group);
  command.add_option("--columns", camera.columns, "picture width")
      ->type_name("N")
      ->capture_default_str()
      ->group(camera_group);
  command.add_option("--transfer", camera.transfer, "bt709, srgb, hlg, pq, linear or gamma=N")
      ->type_name("CURVE")
      ->capture_default_str()
      ->group(camera_group);
  command.add_option("--wall", camera.wall_percent, "linear signal of the wall, % of white")
      ->type_name("PERCENT")
      ->capture_default_str()
      ->group(camera_group);
}

void make_clip(const LightRecipe& light, const DescribedCamera& described,
               const PracticeFile& request, const Session& session) {
  const ClipRecipe clip = recipe_of(described, request);
  require_sensible(clip);
  const std::string chroma = grey_chroma(clip);
  files::GrowingFile file(request.output);
  file.write(header(clip));
  std::string frame;
  RunningLine progress(session);
  std::uint64_t done = 0;
  const double clipped = render(light, clip, [&](const std::vector<std::uint16_t>& luma) {
    frame = "FRAME\n";
    append_codes(frame, luma, clip.bits);
    file.write(frame);
    file.write(chroma);
    progress.show(fmt::format("frame {} of {}", ++done, frame_count(clip)));
  });
  file.close();
  progress.clear();
  if (clipped > 0.0) {
    note(session,
         fmt::format("{:.1f} % of the rows are brighter than white and clipped, so measurements of "
                     "this clip will read low; use a lower --wall",
                     100.0 * clipped));
  }
  if (request.output != "-") {
    note(session, fmt::format("made {}: {} frames at {} fps, {} shutter, a synthetic clip",
                              request.output, frame_count(clip), frame_rate_label(clip.shot.fps),
                              exposure_label(clip.shot.exposure_s)));
  }
}

}  // namespace lampbeat::cli
