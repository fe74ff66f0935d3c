#include "reasoning/prediction/flashing.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "lampbeat/visibility.hpp"
#include "words/numbers.hpp"

namespace lampbeat::reasoning::prediction {

std::optional<Finding> photosensitive_caution(const Recorded& worst, FrameRate fps,
                                              const Viewing& viewing) {
  const double shown_hz = slowing(fps.per_s(), viewing) * worst.pulse_hz;
  const double on_screen = std::min(1.0, system_gamma * worst.pulse_percent / 100.0);
  if (!flashes_hazardously(on_screen, shown_hz, viewing.screen_cd_m2)) return std::nullopt;
  return Finding{
      "photosensitive_caution",
      fmt::format(
          "The whole picture would pulse {} times a second; a wall shown at {} cd/m² "
          "would swing by {} cd/m². Broadcast guidance (ITU-R BT.1702) counts more than 3 "
          "flashes a second "
          "of 20 cd/m² or more as a risk for people with photosensitive epilepsy; do not publish "
          "it without a warning, or better, film it otherwise.",
          words::in_digits_at_most(shown_hz, 3), words::in_digits_at_most(viewing.screen_cd_m2, 3),
          words::in_digits_at_most(2.0 * on_screen * viewing.screen_cd_m2, 3))};
}

}  // namespace lampbeat::reasoning::prediction
