#pragma once

#include <optional>
#include <vector>

#include "footage/waves/wave.hpp"
#include "lampbeat/finding.hpp"

namespace lampbeat::footage::answer {

/// Whether the wave has a phase that changes down the rows: not so with a global shutter.
bool has_bands(const waves::Wave& wave);

/// Waves as far as their direction can be told.
struct Directed {
  std::vector<waves::Wave> waves;
  Findings findings;
};
/// Where all rows pulse together, nothing tells which way the pattern runs: the waves lose the sign
/// of their roll, and a finding says so unless the light's frequency will give it back.
Directed directed(std::vector<waves::Wave> waves, bool light_is_known);

/// Percentages are of linear light; see FootageResult.
struct BandFigures {
  double percent = 0.0;
  double percent_sd = 0.0;
  double per_frame = 0.0;
  double per_frame_sd = 0.0;
};
struct RollFigures {
  double hz = 0.0;
  double hz_sd = 0.0;
  double pulse_percent = 0.0;
  std::optional<double> pulse_hz;  ///< empty when whole frames do not pulse
};

/// What the waves of a clip come to.
struct Figures {
  BandFigures bands;
  std::optional<RollFigures> roll;  ///< empty where the frames' times are not known
};

/// Of waves strongest first, at least one. `fps` is empty for a still and for frames whose times
/// are not known.
Figures figures_of(const std::vector<waves::Wave>& waves, int picture_rows,
                   std::optional<double> fps);

/// The same with bands and pulses so many times as deep, and no deeper than all.
Figures deepened(Figures figures, double times);

/// The waves' pattern down a picture's rows at the first frame, several rows averaged into one in a
/// tall one.
std::vector<double> row_pattern_of(const std::vector<waves::Wave>& waves, int picture_rows);

}  // namespace lampbeat::footage::answer
