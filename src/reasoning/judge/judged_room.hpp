#pragma once

#include <memory>
#include <optional>
#include <span>

#include "lampbeat/prediction.hpp"
#include "reasoning/judge/judge.hpp"
#include "reasoning/judge/room.hpp"

namespace lampbeat::reasoning::judge {

/// A room and its judge for one camera: made once, and handed on with what it judged, so that
/// whoever has a further question (advice, a page) asks the same one.
struct JudgedRoom {
  Room room;
  Judge judge;
  Judge unseen;  ///< of what the noise of the lights' measurements could hide (`unseen_scenes`)
};

/// Throws UsageError for lights or options that make no sense, a senseless readout or rows. The
/// readout may be unknown.
std::shared_ptr<const JudgedRoom> judged_room(std::span<const LightShare> lights,
                                              const PredictionOptions& options,
                                              std::optional<double> readout_s, int rows);

/// The one a prediction came from; for one put together by hand it is made from its parts.
std::shared_ptr<const JudgedRoom> judged_room(const Prediction& prediction);

}  // namespace lampbeat::reasoning::judge
