#include <fmt/format.h>
#include <algorithm>
#include <cmath>

#include "lampbeat/standards.hpp"

// IEEE Std 1789-2015, clause 8.1.1, the "simple" recommended practices. The slopes are from memory;
// that both lines reach 100 % exactly at the ends the standard gives them (0.08 · 1250 Hz and
// 3000 Hz / 30) supports them. The curves' flat part below some 8 Hz is left out.

namespace lampbeat {
namespace {

constexpr double slope_change_hz = 90.0;
constexpr double low_risk_end_hz = 1250.0;
constexpr double no_effect_end_hz = 3000.0;
constexpr double within_sds = 3.0;

double low_risk_percent(double hz) {
  return std::min(100.0, hz < slope_change_hz ? 0.025 * hz : 0.08 * hz);
}

double no_effect_percent(double hz) {
  return std::min(100.0, hz < slope_change_hz ? 0.01 * hz : hz / 30.0);
}

}  // namespace

Ieee1789 ieee1789(double percent_flicker, double hz) {
  Ieee1789 result;
  result.hz = hz;
  result.percent = percent_flicker;
  result.low_risk_limit_percent = low_risk_percent(hz);
  result.no_effect_limit_percent = no_effect_percent(hz);
  if (hz >= no_effect_end_hz || percent_flicker <= result.no_effect_limit_percent) {
    result.level = "no observable effect";
  } else if (hz >= low_risk_end_hz || percent_flicker <= result.low_risk_limit_percent) {
    result.level = "low risk";
  } else {
    result.level = "above low risk";
  }
  return result;
}

Ieee1789 ieee1789(double percent_flicker, double percent_sd, double hz, double hz_sd) {
  // Only at 90 Hz do the limits jump.
  const bool either_side = hz >= slope_change_hz && hz - within_sds * hz_sd < slope_change_hz;
  const double side_hz = either_side ? std::nextafter(slope_change_hz, 0.0) : hz;
  Ieee1789 result = ieee1789(percent_flicker + within_sds * percent_sd, side_hz);
  result.hz = hz;
  result.percent = percent_flicker;
  result.percent_sd = percent_sd;
  return result;
}

std::optional<Finding> ieee1789_level_note(const Ieee1789& judged) {
  if (ieee1789(judged.percent, judged.hz).level == judged.level) return std::nullopt;
  return Finding{
      "ieee1789_boundary",
      fmt::format("The {:.4g} % ± {:.2g} % at {:.4g} Hz lie so close to a limit of IEEE 1789 that "
                  "their uncertainty covers it; the level given is the worse one. A longer or less "
                  "noisy capture may settle it.",
                  judged.percent, judged.percent_sd, judged.hz)};
}

bool worse(const Ieee1789& one, const Ieee1789& other) {
  const auto level = [](const Ieee1789& r) {
    return r.level == "above low risk" ? 2 : r.level == "low risk" ? 1 : 0;
  };
  if (level(one) != level(other)) return level(one) > level(other);
  const auto share = [](const Ieee1789& r) {
    return r.percent / (r.hz < slope_change_hz ? 0.01 * r.hz : r.hz / 30.0);
  };
  return share(one) > share(other);
}

std::optional<Finding> ieee1789_side_note(double hz, double hz_sd) {
  if (!(std::abs(hz - slope_change_hz) <= 3.0 * hz_sd)) return std::nullopt;
  return Finding{
      "ieee1789_near_90_hz",
      fmt::format("The limits of IEEE 1789 more than triple at 90 Hz (low risk 2.25 % just below, "
                  "7.2 % from there on). This light's {:.3f} Hz cannot be told from 90 Hz, and the "
                  "limits {} 90 Hz were used. A longer capture settles the frequency.",
                  hz, hz < slope_change_hz ? "below" : "from")};
}

}  // namespace lampbeat
