#pragma once

#include <optional>
#include <span>
#include <vector>

#include "lampbeat/camera.hpp"
#include "lampbeat/light.hpp"
#include "lampbeat/measurement.hpp"
#include "lampbeat/prediction.hpp"

namespace lampbeat {

/// Fittest first.
enum class FilmingClass { any_shutter, ordinary_shutters, matched_shutters_only, no_safe_shutter };

/// "any shutter", "ordinary shutters", "matched shutters only" or "no safe shutter".
const char* filming_words(FilmingClass filming);

/// The exposures people film at: from this one to the longest, or the frame's length where that is
/// shorter.
inline constexpr double shortest_filmed_s = 1.0 / 8000.0;
inline constexpr double longest_filmed_s = 1.0 / 25.0;
/// From this one on a shutter is an ordinary one.
inline constexpr double ordinary_from_s = 1.0 / 100.0;

/// The frame rates a light is judged at where nobody asks for others, slowest first: 23.976, 24,
/// 25, 29.97, 30, 50, 59.94, 60.
const std::vector<FrameRate>& filmed_frame_rates();

/// The frame rates to judge at: those asked for, or, where none are, those of `filmed_frame_rates`
/// at which a camera of this readout can record (all where it is not known); slowest first, each
/// once. Throws UsageError naming asked rates that such a camera cannot reach, and when none is
/// left.
std::vector<FrameRate> rates_judged_at(std::span<const FrameRate> asked,
                                       std::optional<double> readout_s);

/// How fit one light is for filming, whoever the camera belongs to.
///
/// "Clean" always means: predict calls it clean at the least favourable mains and clocks within the
/// tolerances, in every state of the light, and does not warn that a ripple the measurement was too
/// noisy to see (`below_measured_noise`) could show. An exposure is clean when it is so at every
/// frame rate judged at whose frame is long enough for it; exposures longer than any of their
/// frames are judged as at the slowest. Where a free-running clock wanders over lobes of the
/// exposure's gain the tops of the lobes count, by a bound that is cautious by up to a tenth.
struct FilmingRating {
  /// Any shutter: every exposure is clean, down to an instant. Ordinary shutters: every one of
  /// 1/100 s or longer is, up to each frame's length. Matched shutters only: at some frame rate
  /// some exposure is. Otherwise none is.
  FilmingClass filming = FilmingClass::no_safe_shutter;
  /// The shortest exposure from which on every longer one is clean too; 0 when any is. Empty when
  /// it would be longer than 1/24 s, or than the frame of the slowest rate.
  std::optional<double> shortest_clean_exposure_s;
  /// The highest frame rate at which a 180° shutter is clean. Lower ones need not be: whole light
  /// cycles may fit 60 frames per second and miss 50 (`clean_180`).
  std::optional<double> highest_clean_fps;
  Findings findings;  ///< as predict's of the lights, whatever the shot: `moved_mains`, ...
  /// How much of what people film at is clean: the width of all clean exposures from 1/8000 s to
  /// 1/25 s or the frame's length, in stops (log2), the least over the frame rates. Only what is
  /// proved clean counts: by bounds over whole ranges, or by a judged exposure and how little what
  /// it leaves can change with the exposure.
  double clean_stops = 0.0;
  std::vector<FrameRate> clean_180 =
      {};  ///< every rate at which a 180° shutter is clean, slowest first
};

/// At `rates_judged_at(rates, readout_s)`. A readout nobody knows (empty) is assumed for each frame
/// rate by itself (`readout_taken_s`). Throws UsageError as predict does.
FilmingRating rate_for_filming(const Light& light, std::optional<double> readout_s,
                               const PredictionOptions& options,
                               std::span<const FrameRate> rates = {});

/// Of a measured light by itself, for whatever camera and the mains it was measured on. A
/// light that lost its mean counts at the deepest it can be; empty where nothing says how deep it
/// flickers at most.
std::optional<FilmingRating> rate_for_filming(const Measurement& measurement);

}  // namespace lampbeat
