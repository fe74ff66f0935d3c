#pragma once

#include <optional>
#include <vector>

#include "footage/watched.hpp"
#include "footage/wave.hpp"

namespace lampbeat::footage {

/// What of a clip is the light's doing, and how sure that is.
struct Evidence {
  std::vector<Wave> waves;             ///< strongest first, one per rhythm seen
  double smallest_seen_percent = 0.0;  ///< bands deeper than this would have been noticed
  /// Nothing was found although bands of `smallest_seen_percent` would have shown.
  bool nothing_seen = false;
  Findings findings;
};

/// Running patterns, or, where none runs, standing ones; findings say what cannot be known.
/// `reference` is read to its end where it is needed. Throws InputError for one of another size.
Evidence find_evidence(const Watched& watched, ClipSource* reference,
                       const FootageSettings& settings);

}  // namespace lampbeat::footage
