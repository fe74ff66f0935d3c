#pragma once

#include <optional>
#include <span>
#include <vector>

#include "lampbeat/camera.hpp"
#include "lampbeat/light.hpp"
#include "lampbeat/measurement.hpp"
#include "lampbeat/prediction.hpp"

namespace lampbeat {

enum class FilmingClass { any_shutter, matched_shutters_only, no_safe_shutter };

/// "any shutter", "matched shutters only" or "no safe shutter".
const char* filming_words(FilmingClass filming);

/// How fit one light is for filming, whoever the camera belongs to.
///
/// "Clean" always means: predict calls it clean at the least favourable mains and clocks within the
/// tolerances, in every state of the light, and does not warn that a ripple the measurement was too
/// noisy to see (`below_measured_noise`) could show. An exposure is clean when it is so at every
/// customary frame rate whose frame is long enough for it and for the camera's readout; exposures
/// longer than any customary frame are judged as at 24/1.001 frames per second. Where a
/// free-running clock wanders over lobes of the exposure's gain the tops of the lobes count, by a
/// bound that is cautious by up to a tenth.
struct FilmingRating {
  /// Any shutter: every exposure is clean, down to an instant. Matched shutters only: at some
  /// customary frame rate some exposure of whole light cycles is. Otherwise there is none.
  FilmingClass filming = FilmingClass::no_safe_shutter;
  /// The shortest exposure from which on every longer one is clean too; 0 when any is. Empty when
  /// it would be longer than 1/24 s: no ordinary shot is exposed that long.
  std::optional<double> shortest_clean_exposure_s;
  /// The highest customary frame rate at which a 180° shutter is clean. Lower ones need not be:
  /// whole light cycles may fit 60 frames per second and miss 50.
  std::optional<double> highest_clean_fps;
  Findings findings;  ///< as predict's of the lights, whatever the shot: `moved_mains`, ...
};

/// A readout nobody knows (empty) is assumed for each frame rate by itself (`readout_taken_s`).
/// Throws UsageError as predict does.
FilmingRating rate_for_filming(const Light& light, std::optional<double> readout_s,
                               const PredictionOptions& options);

/// Of a measured light by itself, for whatever camera and the mains it was measured on. A
/// light that lost its mean counts at the deepest it can be; empty where nothing says how deep it
/// flickers at most.
std::optional<FilmingRating> rate_for_filming(const Measurement& measurement);

}  // namespace lampbeat
