#pragma once

#include <vector>

#include "lampbeat/dark_recording.hpp"
#include "lampbeat/tones.hpp"
#include "lampbeat/window.hpp"

namespace lampbeat::signal::left_over {

/// A line of the lamp's capture that the covered sensor gave as well.
struct Hum {
  double hz = 0.0;
  double amplitude = 0.0;  ///< in the lamp's capture, sample units
  /// The lamp's own part at this frequency is no stronger: the two lines' phases are not known
  /// against each other, so that they may be opposed.
  double hidden = 0.0;
};

/// A tone is hum when the dark recording has a line at its frequency (to a hundredth: the mains
/// moves between two recordings) that is about as strong or stronger. One that stands well out of
/// the dark line is the lamp's.
std::vector<Hum> hum_in(const ToneAnalysis& tones, const DarkRecording& dark);

/// The same tones without those that are hum.
ToneAnalysis without_hum(const ToneAnalysis& tones, const std::vector<Hum>& hum);

/// The samples less the hum as fitted in `tones`.
std::vector<double> hum_taken_out(const Window& window, const ToneAnalysis& tones,
                                  const std::vector<Hum>& hum);

/// How far dark lines beneath the lamp's own stronger ones may have moved those, rms, sample units.
double hum_beneath(const ToneAnalysis& tones, const DarkRecording& dark);

}  // namespace lampbeat::signal::left_over
