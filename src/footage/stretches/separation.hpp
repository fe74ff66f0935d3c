#pragma once

#include <span>
#include <vector>

#include "footage/rows/cells.hpp"
#include "footage/stretches/divided.hpp"
#include "footage/waves/wave.hpp"

namespace lampbeat::footage::stretches {

/// A stretch taken apart into scene, level of each frame and running waves.
struct Separation {
  std::vector<float> scene;
  Divided divided;
  std::vector<waves::Wave> waves;
};

/// What a round does beside finding scene and levels anew and refining the waves.
enum class Round {
  discover,       ///< looks for waves that stand out of what the known ones leave
  choose_orders,  ///< decides once more which harmonics each wave has
  settle,         ///< nothing else
};

/// Scene, levels and waves are each found with the others divided out, so they take turns. Two
/// rounds look for waves: in the first the scene still holds the waves, which blurs the strongest
/// and hides the faint; the second sees a scene freed from the strongest. Harmonics, chosen so far
/// against a scene that held them, are then chosen for good. The last three rounds let scene,
/// levels and waves settle: bench_footage_floors prints how far each number of rounds is from
/// twelve, over the fit's own uncertainty (half of it after three where bands are few, 0.01 after
/// six).
std::span<const Round> usual_rounds();

/// Takes a stretch apart. Ends early when no wave was found by the time orders are chosen: nothing
/// will change any more.
Separation separated(const rows::Cells& cells, std::span<const Round> rounds = usual_rounds());

}  // namespace lampbeat::footage::stretches
