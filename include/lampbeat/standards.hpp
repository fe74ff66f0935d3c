#pragma once

#include <array>
#include <cstddef>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "lampbeat/finding.hpp"
#include "lampbeat/light.hpp"
#include "lampbeat/window.hpp"

// The published measures of flicker, one source file each under src/signal/standards. Which
// values were read in the document itself and which are from memory is said there and in the tests.

namespace lampbeat {

// ---- IEEE Std 1789-2015, clause 8.1.1 (limits from memory) ---------------------------------

/// How a light is judged, the worse the greater.
enum class Ieee1789Level { no_observable_effect, low_risk, above_low_risk };
/// As people and programs read it: "no observable effect", "low risk", "above low risk".
const char* level_words(Ieee1789Level level);
/// The level of these words; empty for any others.
std::optional<Ieee1789Level> ieee1789_level(std::string_view words);

struct Ieee1789 {
  Ieee1789Level level = Ieee1789Level::no_observable_effect;
  double low_risk_limit_percent = 0.0;  ///< at this frequency, at most 100
  double no_effect_limit_percent = 0.0;
  double hz = 0.0;       ///< the rhythm that was judged
  double percent = 0.0;  ///< and its own percent flicker
  double percent_sd = 0.0;
};
/// At 90 Hz the limits jump; 90 Hz itself has the higher ones. Above 1250 Hz (low risk) and 3000 Hz
/// (no observable effect) nothing is restricted, whatever the modulation.
Ieee1789 ieee1789(double percent_flicker, double hz);
/// The same of measured figures: the level that is proved, at the far end of three standard
/// uncertainties of both. The limits are those of the side of 90 Hz that was taken.
Ieee1789 ieee1789(double percent_flicker, double percent_sd, double hz, double hz_sd);
/// Says so where a better level lies within three standard uncertainties.
std::optional<Finding> ieee1789_level_note(const Ieee1789& judged);
/// Whether one rhythm is judged worse than another: by its level, then by how much of the no-effect
/// limit's straight line it takes.
bool worse(const Ieee1789& one, const Ieee1789& other);

// ---- California Title 24, JA10.6: low-pass percent amplitude modulation --------------------

enum class Ja10CutOff { at_40_hz, at_90_hz, at_200_hz, at_400_hz, at_1000_hz };
inline constexpr std::array ja10_cut_offs = {Ja10CutOff::at_40_hz, Ja10CutOff::at_90_hz,
                                             Ja10CutOff::at_200_hz, Ja10CutOff::at_400_hz,
                                             Ja10CutOff::at_1000_hz};
double cut_off_hz(Ja10CutOff cut_off);

/// One value for each cut-off, slowest first.
template <typename Value>
struct PerCutOff {
  std::array<Value, ja10_cut_offs.size()> value{};

  Value& operator[](Ja10CutOff cut_off) { return value[static_cast<std::size_t>(cut_off)]; }
  const Value& operator[](Ja10CutOff cut_off) const {
    return value[static_cast<std::size_t>(cut_off)];
  }
  auto begin() const { return value.begin(); }
  auto end() const { return value.end(); }
  friend bool operator==(const PerCutOff&, const PerCutOff&) = default;
};

/// Extremes of a record after everything above a cut-off was set to zero in its Fourier transform.
struct FilteredExtremes {
  double highest = 0.0;
  double lowest = 0.0;
};

/// JA10.6 on one window: transform the whole record, zero what is above the cut-off, transform
/// back, take extremes. A line exactly at the cut-off stays. The record is first trimmed at its end
/// (by at most a tenth) to the length that holds the given rhythms in whole cycles, since the brick
/// wall otherwise invents flicker. Evenly spaced windows only. Empty at a cut-off when
/// the window is uneven or the cut-off is not below half the sampling rate.
PerCutOff<std::optional<FilteredExtremes>> ja10_extremes(const Window& window,
                                                         std::span<const double> rhythms_hz);

/// 100 (highest − lowest)/(highest + lowest); may exceed 100, as the brick wall can undershoot
/// zero. Only for light with a positive mean: highest + lowest must be positive.
double modulation_percent(const FilteredExtremes& extremes);

/// What of JA10.5's conditions (interval <= 50 µs, at least 1 s) this capture does not meet.
Findings ja10_conditions(double rate_hz, double duration_s);

/// JA8 limit: modulation below 200 Hz under 30 %.
inline constexpr double ja8_limit_percent = 30.0;

// ---- Stroboscopic visibility measure, CIE TN 006:2016 / IEC TR 63158:2018 ------------------

/// The frequencies SVM counts, both included (scope of ANSI C82.77-6).
inline constexpr double svm_from_hz = 80.0;
inline constexpr double svm_to_hz = 2000.0;
/// Amplitude (fraction of the mean) at which a sine of this frequency is just visible.
double svm_threshold(double hz);
/// SVM of a light's components between those frequencies. 1 = just visible.
double svm(const Light& light);

// ---- Short-term flicker of light, PstLM, IEC TR 61547-1 / IEC 61000-4-15 --------------------

/// The light flickermeter, fed with blocks, memory independent of the length.
///
/// The weighting is checked against the 230 V performance test of IEC 61000-4-15. Its scale
/// constant is derived from that standard's reference point; the one in IEC TR 61547-1 could not be
/// read and may give values up to 5.7 % lower (see pst_scale_note).
class PstMeter {
 public:
  /// `rate_hz` >= 400. The first blocks settle the filters (settling_s is left out of the
  /// statistics). Throws UsageError for a lower rate or a settling time beyond 180 s.
  explicit PstMeter(double rate_hz, double settling_s = 20.0);
  ~PstMeter();
  PstMeter(PstMeter&&) noexcept;
  PstMeter& operator=(PstMeter&&) noexcept;
  void feed(std::span<const double> value);
  /// Needs at least 180 s in all and a positive mean; empty otherwise.
  std::optional<double> pst() const;

 private:
  struct State;
  std::unique_ptr<State> state_;
};

/// What to say beside every PstLM figure.
Finding pst_scale_note();

// ---- Flicker factor of sports broadcasting --------------------------------------------------

/// The flicker factor is percent flicker; sports bodies set limits to it.
struct FlickerFactorLimit {
  const char* standard;
  double percent;  ///< to stay below
  const char* note;
};
std::span<const FlickerFactorLimit> flicker_factor_limits();

// ---- Limits others set, reported as theirs -------------------------------------------------

/// One line of the standards table.
struct StandardVerdict {
  std::string standard;  ///< "Regulation (EU) 2019/2020 as amended by 2021/341"
  std::string quantity;  ///< "SVM"
  std::optional<double> value;
  std::string unit;  ///< "%", or empty
  double limit = 0.0;
  std::optional<bool> met;  ///< empty when the value could not be measured
  std::string note;         ///< scope, "limit from memory", why there is no value
};

/// EU 2019/2020, NEMA 77, JA8, IEEE 1789 and the broadcast flicker factor beside their limits.
struct StandardFigures {
  std::optional<double> percent_flicker, dominant_hz, svm, pst_lm, below_200_percent;
  /// Of the worst rhythm; empty: all of the flicker is taken to be at the dominant frequency.
  std::optional<Ieee1789> ieee = std::nullopt;
};
std::vector<StandardVerdict> standard_verdicts(const StandardFigures& figures);

}  // namespace lampbeat
