#pragma once

#include <cstdint>
#include <functional>
#include <vector>

#include "lampbeat/clip.hpp"
#include "lampbeat/shot.hpp"
#include "lampbeat/synth.hpp"

namespace lampbeat {

/// A practice clip: a plain wall in this light, as a camera would record it. Row r of frame n
/// collects light from n/fps + r·readout/rows on, for the exposure; frame times are exact
/// rationals.
struct ClipRecipe {
  Shot shot;
  int columns = 320;
  double seconds = 3.0;
  int bits = 8;  ///< 8 or 10, limited range (ITU-R BT.709-6 item 3.4: black 16, white 235; times 4)
  TransferFunction transfer;
  double wall = 0.4;           ///< linear signal of the wall in steady light, white = 1
  double noise_percent = 1.0;  ///< of each pixel, standard deviation in % of the wall's light; it
                               ///< also dithers, so that row means are finer than a code value
  std::uint64_t seed = 1;
};

/// Throws UsageError for a recipe out of range.
void require_sensible(const ClipRecipe& clip);

/// How many frames the recipe makes: seconds · fps rounded, at least 1.
std::uint64_t frame_count(const ClipRecipe& clip);

/// Mean of the light over the exposure of every row of one frame, relative to the light's mean;
/// exact (see LightRecipe::mean_over).
std::vector<double> row_exposures(const LightRecipe& light, const Shot& shot, std::uint64_t frame);

/// Renders frame by frame: calls `sink(luma)` with rows · columns code values each.
/// Returns the share of rows that met white and were clipped, 0 ... 1.
/// Throws UsageError for a recipe out of range and for light below zero.
double render(const LightRecipe& light, const ClipRecipe& clip,
              const std::function<void(const std::vector<std::uint16_t>& luma)>& sink);

}  // namespace lampbeat
