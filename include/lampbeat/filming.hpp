#pragma once

#include <optional>
#include <span>

#include "lampbeat/light.hpp"
#include "lampbeat/prediction.hpp"

namespace lampbeat {

enum class FilmingClass { any_shutter, matched_shutters_only, no_safe_shutter };

/// "any shutter", "matched shutters only" or "no safe shutter".
const char* filming_words(FilmingClass filming);

/// How fit one light is for filming, whoever the camera belongs to.
struct FilmingRating {
  FilmingClass filming = FilmingClass::no_safe_shutter;
  /// The shortest exposure from which on every longer one is clean too; 0 when any is.
  std::optional<double> shortest_clean_exposure_s;
  /// The highest customary frame rate at which a 180° shutter is clean.
  std::optional<double> highest_clean_fps;
};

FilmingRating rate_for_filming(const Light& light, double readout_s,
                               const PredictionOptions& options);

}  // namespace lampbeat
