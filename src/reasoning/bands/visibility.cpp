#include "lampbeat/visibility.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include <fmt/format.h>

#include "lampbeat/error.hpp"
#include "reasoning/bands/vision_models.hpp"

namespace lampbeat {
namespace {

using std::numbers::pi;

}  // namespace

double contrast_sensitivity(double cycles_per_degree, double hz, double luminance_cd_m2,
                            double area_deg2) {
  return reasoning::bands::CastleModel(luminance_cd_m2, area_deg2)
      .sensitivity(cycles_per_degree, hz);
}

double barten_sensitivity(double cycles_per_degree, double hz, double luminance_cd_m2,
                          double field_deg) {
  return reasoning::bands::BartenModel(luminance_cd_m2, field_deg)
      .sensitivity(cycles_per_degree, hz);
}

double measured_standing_sensitivity(double cycles_per_degree, double hz, double area_deg2) {
  return reasoning::bands::StandingGratings(area_deg2).sensitivity(cycles_per_degree, hz);
}

PictureAngle picture_angle(double distance_heights) {
  const auto degrees = [&](double size) {
    return 2.0 * std::atan(size / (2.0 * distance_heights)) * 180.0 / pi;
  };
  const double height = degrees(1.0);
  return {height, height * degrees(16.0 / 9.0)};
}

double slowing(double fps, const Viewing& viewing) {
  if (viewing.playback_fps && fps > 0.0) return *viewing.playback_fps / fps;
  return fps > fastest_screen_fps ? slow_motion_fps / fps : 1.0;
}

double recording_step(int bits) {
  if (bits != 8 && bits != 10) {
    throw UsageError(fmt::format("a recording has 8 or 10 bits here, not {}", bits));
  }
  const double codes = bits == 8 ? 219.0 : 876.0;  // ITU-R BT.709, narrow range: 16 ... 235, × 4
  const double slope_at_white = 0.45 * 1.099;      // ITU-R BT.709: V = 1.099 L^0.45 − 0.099
  return 1.0 / codes / slope_at_white;
}

double hidden_by_noise(double noise_percent, double fps) {
  constexpr double pixels_of_a_row = 1920.0;
  constexpr double collected_s = 2.0;
  return noise_percent / 100.0 / std::sqrt(pixels_of_a_row * std::max(1.0, collected_s * fps));
}

Verdict verdict_of(const Visibility& visibility) {
  const Verdict most = verdict_of(visibility.most_sensitive);
  return verdict_of(visibility.least_sensitive) == Verdict::clean
             ? std::min(most, Verdict::borderline)
             : most;
}

Verdict verdict_of(double visibility) {
  if (visibility < clean_below) return Verdict::clean;
  if (visibility < visible_from) return Verdict::borderline;
  if (visibility < strong_from) return Verdict::visible;
  return Verdict::strong;
}

double deeper_percent(const Recorded& r) { return std::max(r.band_percent, r.pulse_percent); }

bool pulses_more_than_bands(const Recorded& r) { return r.pulse_visibility > r.band_visibility; }

const char* shown_word(const Recorded& r) {
  return pulses_more_than_bands(r) ? "pulsing" : "bands";
}

double shown_percent(const Recorded& r) {
  return pulses_more_than_bands(r) ? r.pulse_percent : r.band_percent;
}

const char* verdict_word(Verdict verdict) {
  switch (verdict) {
    case Verdict::clean:
      return "clean";
    case Verdict::borderline:
      return "borderline";
    case Verdict::visible:
      return "visible";
    case Verdict::strong:
      return "strong";
  }
  return "strong";
}

bool flashes_hazardously(double screen_contrast, double hz, double screen_cd_m2) {
  if (!(hz > 3.0)) return false;
  const double darker = screen_cd_m2 * (1.0 - screen_contrast);
  if (darker >= 160.0) return screen_contrast >= 1.0 / 17.0;
  return 2.0 * screen_contrast * screen_cd_m2 >= 20.0;
}

}  // namespace lampbeat
