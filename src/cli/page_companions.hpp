#pragma once

#include <span>

#include "lampbeat/html.hpp"
#include "lampbeat/prediction.hpp"

namespace lampbeat::cli {

/// What the page of a measured light shows beside it: how fit it is for filming, the picture a
/// short automatic shutter would take, and the map of frame rates and shutters.
PageCompanions companions_of(const Measurement& measurement);

/// What the page of a prediction shows beside it: advice, its picture, and the map around it.
PageCompanions companions_of(const Prediction& prediction);

}  // namespace lampbeat::cli
