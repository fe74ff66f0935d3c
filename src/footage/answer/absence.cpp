#include "footage/answer/absence.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "footage/answer/unseen.hpp"
#include "words/numbers.hpp"

namespace lampbeat::footage::answer {

Evidence nothing_seen(double percent, const std::string& condition) {
  Evidence evidence;
  if (!bounding(percent)) {
    evidence.findings.push_back(
        {"nothing_excluded",
         "No bands were found, but even the deepest could have gone unnoticed in this clip: film "
         "longer, brighter, on a tripod, a plain wall."});
    return evidence;
  }
  evidence.nothing_seen = true;
  evidence.smallest_seen_percent = percent;
  evidence.findings.push_back(
      {"no_bands_seen", fmt::format("No bands were found. Any deeper than {} % would have shown{}.",
                                    words::in_digits_at_most(percent, 2), condition)});
  return evidence;
}

std::optional<Evidence> proven_absence(const stretches::Watched& watched,
                                       const FootageSettings& settings, double smallest_seen) {
  if (!settings.light_hz || watched.taken < stretches::fewest_frames || watched.uneven)
    return std::nullopt;
  const std::optional<ExpectedRoll> roll = expected_roll(*settings.light_hz, watched);
  if (!roll || roll->turns < whole_turn) return std::nullopt;
  Evidence evidence = nothing_seen(
      100.0 * std::max(smallest_seen, possible_pulsing(watched, roll->hz)),
      fmt::format(": those of a {:g} Hz light would have rolled through {:.0f} times in this clip",
                  *settings.light_hz, std::floor(std::abs(roll->hz) * watched.duration_s())));
  evidence.absent_roll_hz = roll->hz;
  return evidence;
}

}  // namespace lampbeat::footage::answer
