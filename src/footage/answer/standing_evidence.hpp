#pragma once

#include "footage/answer/evidence.hpp"

namespace lampbeat::footage::answer {

/// What stands, where nothing runs: told from the scene by a reference, on a wall declared plain,
/// or by a photograph alone; else absent for a light that would have rolled, or not known.
/// `reference` is read to its end where there is one. Throws InputError for one of another size.
Evidence standing_evidence(const stretches::Watched& watched, ClipSource* reference,
                           const FootageSettings& settings);

/// What to do where standing bands and the scene cannot be told apart.
const char* how_to_tell_standing();

/// A standing wave with what its fit does not know of its errors; `likeness` is how alike so many
/// bands and shading are, 0 where there is no shading.
waves::Wave with_standing_floors(waves::Wave wave, const stretches::Watched& watched,
                                 double likeness);

/// What stands must not have been seen moving, and be more than a guess.
bool stands(const waves::Wave& wave, const stretches::Watched& watched);

/// Too few frames to see anything move; empty of a clip of enough, and of a still.
Findings few_frames(const stretches::Watched& watched);

}  // namespace lampbeat::footage::answer
