#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "lampbeat/filming.hpp"
#include "lampbeat/measurement.hpp"
#include "lampbeat/prediction.hpp"
#include "lampbeat/shutters.hpp"

namespace lampbeat {

/// What a page shows beside its main result; each part may be missing, and the page then goes
/// without it.
struct PageCompanions {
  std::vector<std::string> advice;       ///< sentences, most useful first
  std::optional<Prediction> pictured;    ///< the shot whose frame is drawn
  std::optional<FilmingRating> filming;  ///< of the measured light
  std::optional<ShutterPlan> plan;       ///< the camera's own steps, for the map and its table
  std::optional<ShutterPlan> field;      ///< a dense sweep of exposures, drawn behind the steps
};

/// What the page of a measured light shows beside it: how fit it is for filming, the shot most
/// people would take (180° at 25 frames a second on 50 Hz mains, at 30 on 60 Hz, else at 24) with
/// its picture and advice, and the map of frame rates and shutters. `filming`: as
/// `rate_for_filming` gives it; nothing where it gives none.
PageCompanions companions_of(const Measurement& measurement, std::optional<FilmingRating> filming);

/// What the page of a prediction shows beside it: advice (see `advise`), its picture, and the map
/// around it.
PageCompanions companions_of(const Prediction& prediction,
                             std::span<const std::string> available = {},
                             std::optional<ShutterNotation> asked = {});

}  // namespace lampbeat
