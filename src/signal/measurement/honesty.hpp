#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>

#include "lampbeat/finding.hpp"

// Every sentence with which a measurement doubts itself, in one place: what was seen, how big the
// effect is, what to do. The codes are part of the interface.

namespace lampbeat::signal::measurement::honesty {

Finding not_analysed(std::uint64_t samples);
/// `judged_deepest`: the waveform shows, and with it how deep the light is at most.
Finding no_dc_level(bool sound_file, bool judged_deepest);
/// Around zero, and without any rhythm.
Finding nothing_recorded();
/// `points` of percent flicker hang on the coupling's corner.
Finding coupling_unknown(double points);
Finding upside_down();
Finding polarity_unknown(double percent, double percent_upside_down);
Finding reads_below_zero(double lowest_percent);
Finding reads_only_below_zero(bool dark_given);
Finding dark_level_unknown();
Finding clipped(double high_percent, double low_percent);
Finding rate_hides_mains(double rate_hz);
Finding rate_too_low(double rate_hz, double light_hz, bool figures_kept);
/// Of the capture or of the one state described: how long it was seen.
struct SeenFor {
  bool whole_capture = true;
  double seconds = 0.0;
  std::optional<double> cycles;  ///< of its slowest rhythm; empty without one
  std::uint64_t readings = 0;    ///< of the capture
};
Finding too_short(const SeenFor& seen, bool figures_kept);
Finding uneven_sampling(double jitter_percent);
/// `could_be_hz`: what the rhythm seen at `seen_hz` could be as well, rising.
Finding alias_suspected(double rate_hz, double seen_hz, const std::array<double, 3>& could_be_hz);
/// All readings are alike.
Finding one_reading();
Finding steady(double below_percent, double from_hz, double up_to_hz);
/// `bands` and `percents` for people: "from 20 Hz to 400 Hz".
Finding unexplained_light(double rms_percent, const std::string& bands, bool no_rhythm);
Finding stray_light(double off_percent, double share_percent, double at_s);
/// `few`: fewer readings than a light's own flash or gap would hold.
Finding swing_unexplained(double off_percent, bool few, double at_s);
Finding edges_too_few(int rises, int falls);
Finding figures_from_edges(int cycles);
/// `left_out_points`: what the others could add at most; empty where percent flicker is not known.
Finding several_rhythms(int rhythms, const std::optional<double>& left_out_points);
Finding level_drift(double lowest, double highest, double drift_percent);
/// `switching` says what a lamp did that was only switched; empty when more changed.
Finding states_differ(const std::string& states, const std::string& switching, int forgotten);
/// Readings as percentages of the mean.
struct PercentRange {
  double lowest = 0.0;
  double highest = 0.0;
};
/// `readings` in the longest of them; empty where there is no mean to relate them to.
Finding disturbed(int times, double at_s, double seconds,
                  const std::optional<PercentRange>& readings);
/// A line at the mains frequency itself, in % of the mean or, where that is not known, of the
/// strongest rhythm.
Finding hum_suspected(double hz, std::optional<double> percent, double relative);
Finding corners_on_top();
Finding hum_taken_out(double hz, double percent, double hidden_percent);
Finding frequency_wanders(double wander_hz);
Finding clock_wanders(double light_hz, double spread_percent, double range_hz);
/// `alone`: nothing stronger at twice the mains, as a lamp would have.
Finding mains_half_cycles(double percent, double mains_hz, bool alone);
Finding pst_needs_length(double duration_s);

}  // namespace lampbeat::signal::measurement::honesty
