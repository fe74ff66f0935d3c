#pragma once

#include <optional>

#include "footage/answer/curve_check.hpp"
#include "lampbeat/footage.hpp"

namespace lampbeat::footage {

/// Whether unseen bands up to this contrast would be judged clean, however many they were: of a
/// light that would roll at `roll_hz`, else standing.
bool could_be_clean(double contrast, std::optional<double> roll_hz, double fps,
                    const FootageSettings& settings);

/// Visibility and verdict of the bands and the pulsing in a result that has them.
void judge(double fps, const FootageSettings& settings, FootageResult& result);

/// Lets the figures of bands reach as far as under the curve that suits the clip better, says so,
/// and takes the verdict back where it hangs on the curve.
void doubt_curve(const BetterCurve& better, double fps, const FootageSettings& settings,
                 FootageResult& result);

/// The verdict where none were found: clean, or none with its finding when visible ones could have
/// gone unnoticed. `roll_hz` is that of the light whose absence was shown.
void judge_absence(std::optional<double> roll_hz, double fps, const FootageSettings& settings,
                   FootageResult& result);

}  // namespace lampbeat::footage
