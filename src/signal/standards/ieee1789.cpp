#include <fmt/format.h>
#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "lampbeat/standards.hpp"
#include "words/numbers.hpp"

// IEEE Std 1789-2015, clause 8.1.1, the "simple" recommended practices. The slopes are from memory;
// that both lines reach 100 % exactly at the ends the standard gives them (0.08 · 1250 Hz and
// 3000 Hz / 30) supports them. The curves' flat part below some 8 Hz is left out.

namespace lampbeat {
namespace {

constexpr double slope_change_hz = 90.0;     ///< clause 8.1.1
constexpr double low_risk_end_hz = 1250.0;   ///< clause 8.1.1: no limit from here on
constexpr double no_effect_end_hz = 3000.0;  ///< clause 8.1.1: no limit from here on
/// A level is proved at the far end of so many standard uncertainties: wrong once in 740 by noise.
constexpr double within_sds = 3.0;

constexpr std::array<std::pair<Ieee1789Level, const char*>, 3> levels = {{
    {Ieee1789Level::no_observable_effect, "no observable effect"},
    {Ieee1789Level::low_risk, "low risk"},
    {Ieee1789Level::above_low_risk, "above low risk"},
}};

double low_risk_percent(double hz) {
  return std::min(100.0, hz < slope_change_hz ? 0.025 * hz : 0.08 * hz);
}

/// The straight lines that the limit follows before it reaches 100 %.
double no_effect_line_percent(double hz) { return hz < slope_change_hz ? 0.01 * hz : hz / 30.0; }

double no_effect_percent(double hz) { return std::min(100.0, no_effect_line_percent(hz)); }

}  // namespace

const char* level_words(Ieee1789Level level) {
  return std::find_if(levels.begin(), levels.end(), [&](const auto& l) { return l.first == level; })
      ->second;
}

std::optional<Ieee1789Level> ieee1789_level(std::string_view words) {
  const auto known =
      std::find_if(levels.begin(), levels.end(), [&](const auto& l) { return l.second == words; });
  return known == levels.end() ? std::nullopt : std::optional(known->first);
}

Ieee1789 ieee1789(double percent_flicker, double hz) {
  Ieee1789 result;
  result.hz = hz;
  result.percent = percent_flicker;
  result.low_risk_limit_percent = low_risk_percent(hz);
  result.no_effect_limit_percent = no_effect_percent(hz);
  if (hz >= no_effect_end_hz || percent_flicker <= result.no_effect_limit_percent) {
    result.level = Ieee1789Level::no_observable_effect;
  } else if (hz >= low_risk_end_hz || percent_flicker <= result.low_risk_limit_percent) {
    result.level = Ieee1789Level::low_risk;
  } else {
    result.level = Ieee1789Level::above_low_risk;
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
      fmt::format("The {} % ± {} % at {} Hz lie so close to a limit of IEEE 1789 that "
                  "their uncertainty covers it; the level given is the worse one. A longer or less "
                  "noisy capture may settle it.",
                  words::in_digits_at_most(judged.percent, 4),
                  words::in_digits_at_most(judged.percent_sd, 2),
                  words::in_digits_at_most(judged.hz, 4))};
}

bool worse(const Ieee1789& one, const Ieee1789& other) {
  if (one.level != other.level) return one.level > other.level;
  const auto share = [](const Ieee1789& r) { return r.percent / no_effect_line_percent(r.hz); };
  return share(one) > share(other);
}

}  // namespace lampbeat
