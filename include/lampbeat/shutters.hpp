#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "lampbeat/prediction.hpp"

namespace lampbeat {

/// One exposure on offer, with what it would record and what it costs.
struct Setting {
  FrameRate fps;
  double exposure_s = 0.0;
  std::string label;  ///< as on the camera's menu or dial: "1/60", "172.8°"
  double shutter_deg = 0.0;
  double readout_s = 0.0;  ///< it was judged with
  Recorded nominal;
  Recorded worst;
  double stops_from_180deg = 0.0;  ///< exposure against a 180° shutter, stops, positive = brighter
  double blur_from_180deg = 1.0;   ///< motion blur length as a multiple of the 180° one
  bool whole_cycles = false;       ///< spans whole cycles of every rhythm that matters
  /// Mains drift (± Hz) up to which the setting stays clean; empty when it is not clean at the
  /// nominal mains, when no drift within ±10 % breaks it, or when nothing follows the mains.
  std::optional<double> mains_margin_hz;
  /// The same for the clocks of free-running lights, ± percent of their frequencies, all moving
  /// alike; empty as above, or when no light runs free.
  std::optional<double> clock_margin_percent;
};

/// What the planner is asked.
struct PlanRequest {
  std::vector<FrameRate> frame_rates;
  /// As written on the camera: "1/50", "180deg", ... empty: the customary series and every
  /// whole-cycle exposure of these lights.
  std::vector<std::string> available;
  /// Empty: not known, and assumed for each frame rate by itself (`readout_taken_s`).
  std::optional<double> readout_s;
  int rows = Shot{}.rows;
  PredictionOptions options;
};

/// What one frame rate allows under these lights.
struct FrameRateOutlook {
  FrameRate fps;
  double readout_s = 0.0;  ///< it was judged with
  bool any_clean = false;
  /// The recorded figures of a 180° shutter here.
  Recorded at_180deg;
  /// Percent flicker of the strongest light (its dominant rhythm, seen alone) at or below which a
  /// 180° shutter would be clean here, all lights of the room steadied in the same proportion. 100
  /// when 180° is clean however deep the ripple (whole cycles); empty when no light has a rhythm,
  /// or one is known by its frequency alone.
  std::optional<double> needed_percent_flicker;
};

/// An exposure that is clean at every frame rate of a plan.
struct CommonExposure {
  double exposure_s = 0.0;
  std::vector<std::string>
      labels;  ///< as offered at each of the plan's frame rates; empty: as time
};

struct ShutterPlan {
  std::vector<LightShare> lights;
  std::optional<double> mains_hz;
  double mains_tolerance_hz = 0.0;
  std::optional<double> clock_tolerance_percent;  ///< the largest taken; empty: none runs free
  std::optional<double> readout_s;                ///< the known one; empty: assumed, see outlooks
  int rows = Shot{}.rows;
  PredictionOptions options;      ///< as asked
  std::vector<Setting> settings;  ///< frame rates in the order asked, best first within each
  std::vector<FrameRateOutlook> outlooks;
  /// Clean at every frame rate, nearest to 180° over all of them first. Of a camera's own shutters
  /// only those it offers at each rate.
  std::vector<CommonExposure> serves_all;
  Findings findings;
};

/// The readout every frame rate of a plan was judged with; empty where what was assumed differs
/// from one to another.
std::optional<double> common_readout_s(const ShutterPlan& plan);

/// Ranks every offered exposure at every asked frame rate. Each setting is judged exactly as
/// `predict` judges it alone, with the readout `readout_taken_s` gives for its frame rate, whatever
/// other frame rates are asked for.
///
/// The order within a frame rate follows what a person gives up. First by the verdict at the least
/// favourable mains and clocks: clean, borderline, visible, strong. Clean ones, and borderline
/// ones, by their distance from 180° in quarter stops (exposure and motion blur as intended), so a
/// clean shutter near 180° stands before a cleaner one far from it; visible and strong ones by
/// visibility, least bad first. Where a light is known by its frequency alone, settings that are
/// clean while every clock keeps its time stand before the others that are not clean.
///
/// Without `available`, the customary steps no darker than four stops below 180° are offered, and
/// every exposure of whole cycles of these lights, or of several of them at once.
///
/// Throws UsageError as predict does, when no frame rate is asked for, and for an offer that cannot
/// be read; offers longer than the frame are left out for that frame rate.
ShutterPlan plan_shutters(std::span<const LightShare> lights, const PlanRequest& request);

}  // namespace lampbeat
