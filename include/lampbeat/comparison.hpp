#pragma once

#include <optional>
#include <string>
#include <vector>

#include "lampbeat/filming.hpp"
#include "lampbeat/finding.hpp"
#include "lampbeat/light.hpp"
#include "lampbeat/measurement.hpp"
#include "lampbeat/prediction.hpp"

namespace lampbeat {

/// What was looked at; only like is compared with like.
enum class OccasionKind { light, clip, place };

/// What a figure says when it changes.
enum class FigureRole {
  depth,        ///< more of it is worse
  rough_depth,  ///< one without a ±: much more of it is worse, and less of it proves nothing
  rhythm,       ///< how fast the light beats
  camera,       ///< of the camera: where it changed, the set-up did
  detail        ///< shown beside the others, and decides nothing
};

/// One figure as an occasion gave it.
struct OccasionFigure {
  std::string name;  ///< as in the JSON of the command it is from
  std::string what;  ///< for people: "percent flicker"
  std::string unit;  ///< "%", "Hz", "s", or empty
  FigureRole role = FigureRole::detail;
  std::optional<double> value;
  std::optional<double> sd;       ///< its standard uncertainty
  std::optional<double> at_most;  ///< where nothing was found: what would have been
};

/// One rhythm of the light.
struct OccasionRhythm {
  double hz = 0.0;
  double hz_sd = 0.0;
  std::optional<double> percent;
  std::optional<double> percent_sd;
  std::optional<int> mains_order;
  bool of_others = false;  ///< sum or difference of two: never new by itself
};

/// One condition that the figures depend on.
struct Condition {
  std::string name;      ///< for people: "sensor bandwidth"
  std::string value;     ///< for people: "500 Hz", "not given"
  bool decides = false;  ///< figures that differ in it are not compared
  bool said = true;      ///< false where nobody said it
};

/// A light, or what a camera made of it, as it was once: the one value that captures, clips, saved
/// lights and lines of a log all become to be compared.
struct Occasion {
  OccasionKind kind = OccasionKind::light;
  std::string fixture;
  std::string source;  ///< capture, clip or profile, as named when it was measured
  std::string at;      ///< when, ISO 8601, UTC; empty where nobody wrote it down
  std::optional<int> measurement_version;
  std::vector<Condition> set_up;
  std::vector<OccasionFigure> figures;
  std::vector<OccasionRhythm> rhythms;       ///< strongest first
  std::optional<double> seen_to_hz;          ///< half the sampling rate
  std::optional<double> seen_above_percent;  ///< a rhythm deeper than this is found in its noise
  /// Of free-running rhythms; empty where none was followed.
  std::optional<double> clock_spread_percent;
  bool depth_assumed = false;   ///< judged at the deepest the light can be, for want of its mean
  std::string states;           ///< "one state", "several states, dark in between"; may be empty
  std::optional<Light> light;   ///< what its filming class is judged from
  std::optional<Verdict> seen;  ///< of a clip or a place
  Findings doubts;              ///< for each of which nothing is proved to be as good as before
};

/// A capture's measurement, a line of `measure --json` read back, or a saved light. `fixture` and
/// `at` are left empty.
Occasion occasion_of(const Measurement& measurement);
Occasion occasion_of(const Light& light, const std::string& source);

/// One figure before and after.
struct FigureChange {
  OccasionFigure before;
  OccasionFigure after;
  std::optional<double> change;       ///< after − before
  std::optional<double> uncertainty;  ///< standard, of the change; empty where one has none
  /// By more than `changed_beyond` of it, or of a rough depth by more than `much`; empty where that
  /// cannot be said.
  std::optional<bool> changed;
  std::string note;  ///< for people, why it counts as it does; may be empty
};

/// So many standard uncertainties: by chance alone, one change in a thousand.
inline constexpr double changed_beyond = 3.3;

/// Of a depth without a ±: more than a quarter of the larger one (common practice, no source).
inline constexpr double much = 0.25;

enum class ChangeVerdict { better, unchanged, worse, unknown };
/// "better", "unchanged", "worse", "unknown".
const char* change_word(ChangeVerdict verdict);

/// Whether one fixture (or place) is as it was.
///
/// Worse: its light flickers deeper or the clip's bands are deeper, beyond both uncertainties; its
/// filming class is a lower one even at the favourable ends of them; one of its rhythms got deeper,
/// or one is there that would have been seen before; what has no ± rose by much; the picture is
/// judged by a worse word; its own clock moved further than shutters chosen for it allow. Better:
/// only what is proved, with no doubt about either. Unchanged: everything that decides is known on
/// both sides, and none of it moved. Otherwise unknown.
struct Comparison {
  std::string fixture;
  std::optional<Occasion> before;
  std::optional<Occasion> after;
  std::vector<FigureChange> figures;
  std::optional<FilmingRating> filming_before;
  std::optional<FilmingRating> filming_after;
  ChangeVerdict verdict = ChangeVerdict::unknown;
  Findings reasons;              ///< what decided, first
  std::vector<Occasion> course;  ///< oldest first, `before` and `after` among them
};

/// The first of a course against its last. `fixture` names it; with fewer than two occasions the
/// verdict is unknown. Occasions between the two are shown and decide nothing.
Comparison compare(std::string fixture, std::vector<Occasion> course);

/// A fixture that was asked about and not measured, or not measured again: unknown, and why.
Comparison not_measured(std::string fixture, std::vector<Occasion> course, const std::string& why);

/// Conditions in which one occasion differs from another, each as a sentence: set-up, measurement
/// version.
Findings conditions_changed(const Occasion& before, const Occasion& after);

}  // namespace lampbeat
