#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cli/capture_options.hpp"
#include "cli/session.hpp"
#include "cli/shelf_inputs.hpp"
#include "lampbeat/depth.hpp"
#include "lampbeat/prediction.hpp"
#include "lampbeat/rating.hpp"

namespace lampbeat::cli {

/// How every light of the shelf is read and judged.
struct ShelfRater {
  CaptureArguments reading;
  MeasurementSettings settings;
  std::optional<double> readout_s;  ///< empty: not known
  std::vector<FrameRate> rates;
  PredictionOptions options;
};

/// What became of one light of the shelf.
struct RatedItem {
  std::optional<FixtureRating> rating;
  Depth depth;
  std::string reason = "interrupted before it was measured";  ///< why there is no rating
};

/// Rates every item, on up to `jobs` threads (0: one per processor), in the order of `items`.
/// Whatever is wrong with one of them, the others are still rated; after an interrupt no further
/// one is begun.
std::vector<RatedItem> rate_all(const std::vector<ToRate>& items, const ShelfRater& rater, int jobs,
                                const Session& session);

}  // namespace lampbeat::cli
