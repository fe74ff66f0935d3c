#include "lampbeat/prediction.hpp"

#include <fmt/format.h>

#include <utility>

#include "lampbeat/camera.hpp"
#include "lampbeat/error.hpp"
#include "reasoning/camera/fits.hpp"
#include "reasoning/prediction/predicted.hpp"
#include "reasoning/prediction/prediction_doubts.hpp"
#include "words/numbers.hpp"

namespace lampbeat {
namespace {

void check_exposure(double exposure_s, FrameRate fps) {
  if (fps.numerator <= 0 || fps.denominator <= 0) {
    throw UsageError("the frame rate has to be above 0");
  }
  const double frame_s = fps.frame_s();
  if (!(exposure_s > 0.0) || !reasoning::camera::fits(exposure_s, fps)) {
    throw UsageError(fmt::format(
        "an exposure of {:g} s does not fit: at {:g} frames per second it lies above 0 and is at "
        "most one frame, {} s (360°)",
        exposure_s, fps.per_s(), words::in_digits_at_most(frame_s, 6)));
  }
}

}  // namespace

namespace reasoning::prediction {

Prediction predicted(std::shared_ptr<const judge::JudgedRoom> judged, double exposure_s,
                     FrameRate fps) {
  check_exposure(exposure_s, fps);
  const auto& [room, judge, unseen] = *judged;
  require_readable(judge.shot(exposure_s, fps).readout_s, {&fps, 1});
  Prediction p;
  p.lights = room.lights;
  p.mains_hz = room.mains_hz;
  p.mains_tolerance_hz = room.mains_tolerance_hz;
  p.clock_tolerance_percent = room.clock_tolerance_percent;
  p.findings = room.findings;
  p.options = room.options;
  p.shot = judge.shot(exposure_s, fps);
  judge::Nominal nominal = judge.nominal(exposure_s, fps);
  p.nominal = nominal.figures;
  p.frame = std::move(nominal.frame);
  judge::Worst worst = judge.worst(exposure_s, fps, p.nominal);
  p.worst = worst.figures;
  p.worst_state = std::move(worst.state);
  // What would show in a shot that shows enough as it is makes no odds.
  note_doubts(p, is_clean(p.worst) ? unseen.worst_visibility(exposure_s, fps) : 0.0);
  p.judged = std::move(judged);
  return p;
}

}  // namespace reasoning::prediction

Prediction predict(std::span<const LightShare> lights, const Shot& shot,
                   const PredictionOptions& options) {
  check_exposure(shot.exposure_s, shot.fps);
  Prediction p = reasoning::prediction::predicted(
      reasoning::judge::judged_room(lights, options, shot.readout_s, shot.rows), shot.exposure_s,
      shot.fps);
  p.shot = shot;
  if (shot.readout_assumed) p.findings.push_back(assumed_readout_finding({&shot.fps, 1}));
  return p;
}

}  // namespace lampbeat
