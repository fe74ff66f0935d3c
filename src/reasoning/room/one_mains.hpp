#pragma once

#include <optional>

#include "lampbeat/room.hpp"

namespace lampbeat::reasoning::room {

/// A room with all its lights on one mains, so that every place and cell is judged on the same.
struct OnOneMains {
  Room room;
  PredictionOptions options;       ///< what places and cells are judged with
  std::optional<double> mains_hz;  ///< of the room; empty where nothing follows one
  Findings findings;
};

/// A mains that is named, by the request or by the room, is the one meant, as for `predict`. Where
/// nobody names one the lights stay on that of the first of them, as its capture found it, and the
/// judge takes as much more tolerance as that ran beside its nominal frequency. What was measured
/// comes before what is typical of its kind; a fixture that is off has no say.
OnOneMains on_one_mains(const Room& room, const PredictionOptions& asked);

}  // namespace lampbeat::reasoning::room
