#pragma once

#include <optional>

#include "footage/answer/figures.hpp"
#include "lampbeat/footage.hpp"

namespace lampbeat::footage::answer {

/// How what was seen, or could have gone unseen, strikes the eye.
struct Judgement {
  std::optional<double> visibility;  ///< over the threshold of seeing it; empty of nothing seen
  Verdict verdict = Verdict::clean;
};

/// Of the bands and the pulsing. `fps` is that of the clip, empty for a still.
Judgement judged(const Figures& figures, std::optional<double> fps, const Viewing& viewing);

/// Whether unseen bands up to this contrast would be judged clean, however many they were: of a
/// light that would roll at `roll_hz`, else standing.
bool could_be_clean(double contrast, std::optional<double> roll_hz, std::optional<double> fps,
                    const FootageSettings& settings);

}  // namespace lampbeat::footage::answer
