#include <algorithm>
#include <cmath>

#include "lampbeat/error.hpp"
#include "lampbeat/rendering.hpp"
#include "synth/random.hpp"
#include "synth/recipe_checks.hpp"

namespace lampbeat {

namespace {

/// Signal 0 ... 1 as a limited-range code value, ITU-R BT.709-6 item 3.4.
std::uint16_t code_value(double signal, int bits) {
  const double scale = bits == 10 ? 4.0 : 1.0;
  return static_cast<std::uint16_t>(std::lround((16.0 + 219.0 * signal) * scale));
}

}  // namespace

void require_sensible(const ClipRecipe& clip) {
  const Shot& shot = clip.shot;
  synth::require_within("the frame rate", shot.fps.per_s(), 1.0, 100000.0, "frames per second");
  synth::require_within("the exposure", shot.exposure_s, 1e-7, shot.fps.frame_s() * (1.0 + 1e-12),
                        "s, one frame at most");
  synth::require_within("the readout", shot.readout_s, 0.0, 1.0, "s");
  synth::require_within("the picture height", shot.rows, 2, 8640, "rows");
  synth::require_within("the picture width", clip.columns, 2, 8192, "columns");
  synth::require_within("the length", clip.seconds, 1e-3, 3600.0, "s");
  synth::require_within("the wall", clip.wall, 0.001, 1.0, "of white");
  synth::require_within("the noise", clip.noise_percent, 0.0, 100.0, "%");
  if (clip.bits != 8 && clip.bits != 10) {
    throw UsageError("a clip has 8 or 10 bits; choose one of the two");
  }
}

std::uint64_t frame_count(const ClipRecipe& clip) {
  const double frames = std::round(clip.seconds * clip.shot.fps.per_s());
  return static_cast<std::uint64_t>(std::max(frames, 1.0));
}

std::vector<double> row_exposures(const LightRecipe& light, const Shot& shot, std::uint64_t frame) {
  // Frame times from whole numbers, so that 29.97 drifts by exactly one part in 1001.
  const double frame_s = static_cast<double>(frame) * static_cast<double>(shot.fps.denominator) /
                         static_cast<double>(shot.fps.numerator);
  std::vector<double> exposure(static_cast<std::size_t>(shot.rows));
  if (shot.readout_s == 0.0) {  // every row the same: integrate once
    std::fill(exposure.begin(), exposure.end(), light.mean_over(frame_s, shot.exposure_s));
    return exposure;
  }
  for (std::size_t row = 0; row < exposure.size(); ++row) {
    const double row_s = static_cast<double>(row) * shot.readout_s / shot.rows;
    exposure[row] = light.mean_over(frame_s + row_s, shot.exposure_s);
  }
  return exposure;
}

double render(const LightRecipe& light, const ClipRecipe& clip,
              const std::function<void(const std::vector<std::uint16_t>& luma)>& sink) {
  synth::require_sensible(light);
  require_sensible(clip);
  synth::Random noise(clip.seed);
  const double noise_sd = clip.wall * clip.noise_percent / 100.0;
  const auto columns = static_cast<std::size_t>(clip.columns);
  std::vector<std::uint16_t> luma(columns * static_cast<std::size_t>(clip.shot.rows));
  const std::uint64_t frames = frame_count(clip);
  std::uint64_t clipped_rows = 0;
  const auto recorded = [&](double linear) {
    return code_value(encode(clip.transfer, std::clamp(linear, 0.0, 1.0)), clip.bits);
  };
  for (std::uint64_t frame = 0; frame < frames; ++frame) {
    const std::vector<double> exposure = row_exposures(light, clip.shot, frame);
    auto pixel = luma.begin();
    for (const double relative : exposure) {
      synth::require_light(relative, static_cast<double>(frame) / clip.shot.fps.per_s());
      const double linear = clip.wall * relative;
      if (linear > 1.0) ++clipped_rows;
      if (noise_sd == 0.0) {
        pixel = std::fill_n(pixel, columns, recorded(linear));
        continue;
      }
      pixel = std::generate_n(pixel, columns,
                              [&] { return recorded(linear + noise_sd * noise.normal()); });
    }
    sink(luma);
  }
  return static_cast<double>(clipped_rows) /
         (static_cast<double>(frames) * static_cast<double>(clip.shot.rows));
}

}  // namespace lampbeat
