#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "lampbeat/prediction.hpp"

namespace lampbeat {

/// How a shutter is written: as a fraction of a second ("1/60"), an angle ("180deg"), a time
/// ("16.7ms").
enum class ShutterNotation { fraction, angle, time };

/// The notation of a shutter as written; nothing for what is no shutter.
std::optional<ShutterNotation> shutter_notation(std::string_view text);

/// Which way a label may differ from its exposure in the last digit told.
enum class LabelRounding { nearest, longer, shorter };

/// An exposure in this notation, as a label that `parse_exposure_s` reads: "1/59.94", "172.8°",
/// "16.68 ms". Hundredths of the denominator, the degree and the millisecond are told, tenths of a
/// microsecond below a millisecond.
std::string shutter_label(double exposure_s, FrameRate fps, ShutterNotation notation,
                          LabelRounding rounding = LabelRounding::nearest);

/// Whether this is written as a range of shutters (see PlanRequest) and not as one. Throws
/// UsageError for a range that cannot be read.
bool is_shutter_range(std::string_view text);

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
  /// The exposures around this one that stay clean, 0 (any, however short) ... one frame; empty
  /// when it is not clean.
  std::optional<double> clean_from_s, clean_to_s;
};

/// What the planner is asked.
struct PlanRequest {
  std::vector<FrameRate> frame_rates;
  /// As written on the camera: "1/50", "180deg", ... and ranges of what can be set finely:
  /// "1/24..1/2000:0.1" in steps of the denominator, "11.2deg..360deg:0.1", "0.5ms..40ms:0.01";
  /// without a step, in hundredths; "any": 1/x in hundredths of x, no darker than four stops below
  /// 180°. Empty: the customary series and every whole-cycle exposure of these lights.
  std::vector<std::string> available;
  /// Empty: not known, and assumed for each frame rate by itself (`readout_taken_s`).
  std::optional<double> readout_s;
  int rows = Shot{}.rows;
  PredictionOptions options;
};

/// What a finely set shutter offers at one frame rate.
struct ExactShutter {
  Setting best;                 ///< of all that the ranges hold
  std::optional<Setting> dial;  ///< the customary stop nearest to it that fits the frame
};

/// A slower frame rate at which a shutter is clean.
struct SlowerRate {
  FrameRate fps;
  double exposure_s = 0.0;
  std::string label;
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
  /// The part of the subject's light that would have to be steady (daylight, a steady lamp), the
  /// rest coming from these lights, for 180° to be clean: 0 when it is as things are, below 1;
  /// empty when next to all would have to be.
  std::optional<double> steady_share_at_180deg;
  /// Empty unless a range was on offer.
  std::optional<ExactShutter> exact;
  /// Where no setting is clean within the tolerance of a free-running clock: the one that is clean
  /// at the clock as measured and up to its `clock_margin_percent`, which is as wide as any.
  std::optional<Setting> while_clock_holds;
  /// Where nothing is clean: the fastest of the customary and the asked frame rates below this one
  /// at which something is.
  std::optional<SlowerRate> slower;
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
/// clean shutter near 180° stands before a cleaner one far from it (one that is off whole cycles
/// and within a quarter of not being clean counts as half a stop farther); visible and strong ones
/// by visibility, least bad first. Where a light is known by its frequency alone, settings that are
/// clean while every clock keeps its time stand before the others that are not clean. Of equals,
/// and visibilities below a twelfth of where clean ends are equal, the one nearer to 180° stands
/// first.
///
/// Of ranges, those points are settings that lie beside an exposure of whole cycles or a customary
/// stop, or end a range, and the best one of all points (see `ExactShutter`): where it is clean, no
/// point that is more than hardly clean is nearer to 180° by a quarter stop, and of those as near
/// none is less visible by 5 % and 0.02; where it is not, none is clean.
///
/// Without `available`, the customary steps no darker than four stops below 180° are offered, and
/// every exposure of whole cycles of these lights, or of several of them at once.
///
/// Throws UsageError as predict does, when no frame rate is asked for, and for an offer that cannot
/// be read (a range whose ends are written differently, say); offers longer than the frame are left
/// out for that frame rate.
ShutterPlan plan_shutters(std::span<const LightShare> lights, const PlanRequest& request);

}  // namespace lampbeat
