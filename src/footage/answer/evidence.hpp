#pragma once

#include <optional>
#include <vector>

#include "footage/stretches/watched.hpp"
#include "footage/waves/wave.hpp"

namespace lampbeat::footage::answer {

/// What could have gone unnoticed, where that bounds anything: no bands are deeper than 100 %, rows
/// next to dark ones.
inline std::optional<double> bounding(std::optional<double> percent) {
  return percent && *percent < 100.0 ? percent : std::nullopt;
}

/// What of a clip is the light's doing, and how sure that is.
struct Evidence {
  std::vector<waves::Wave> waves;  ///< strongest first, one per rhythm seen
  /// Bands deeper than this would have been noticed; empty where nothing bounds them.
  std::optional<double> smallest_seen_percent;
  /// Every pattern the light in question could make was looked for, and none found.
  bool nothing_seen = false;
  /// Of the light whose absence was shown, where it would have rolled.
  std::optional<double> absent_roll_hz;
  /// The picture itself leaves open whether what was found is the light's doing.
  bool open_to_doubt = false;
  Findings findings;
};

/// Running patterns, or, where none runs, standing ones; findings say what cannot be known.
/// `reference` is read to its end where it is needed. Throws InputError for one of another size.
Evidence find_evidence(const stretches::Watched& watched, ClipSource* reference,
                       const FootageSettings& settings);

}  // namespace lampbeat::footage::answer
