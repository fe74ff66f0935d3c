#include "lampbeat/typical.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>

#include "arithmetic/phase.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/prediction.hpp"
#include "words/foreign_text.hpp"
#include "words/spelling.hpp"

// Handbook percentages are labels for kinds of lights, not measurements of one: two fixtures of
// the same kind differ by a factor of two easily. They are here so that a shoot can be planned
// before a sensor exists.

namespace lampbeat {

namespace {

using Components = std::vector<LightComponent>;

const std::string fact_sheet =
    "US DOE Solid-State Lighting fact sheet \"Flicker\" (2013) and IES handbook table, from memory";
const std::string lrt_paper = "Lighting Research & Technology, doi:10.1177/1477153520959182";

/// Light that follows the power of the mains: series at even multiples of the mains frequency.
/// `sharpness` 1 gives the cusped valleys of a rectified sine, |sin|, whose orders stand as
/// 1/(4k² − 1); 0 gives a lone sine.
Components mains_ripple(double mains_hz, double sharpness) {
  constexpr int orders = 12;  // the next would add half a per cent of the first
  Components components;
  for (int k = 1; k <= (sharpness > 0.0 ? orders : 1); ++k) {
    const double amplitude = 3.0 / (4.0 * k * k - 1.0) * (k == 1 ? 1.0 : sharpness);
    components.push_back({2.0 * k * mains_hz, amplitude, std::numbers::pi, 2 * k});
  }
  return components;
}

/// A square wave, on half the time, with rounded edges that reach `edge` of the period to either
/// side (a lamp and its driver are not infinitely fast, and a cut-off series of a sharp square
/// would swing below darkness).
Components square(double hz, double edge) {
  constexpr int orders = 49;  // rounded edges leave the next less than a per cent
  Components components;
  for (int k = 1; k <= orders; k += 2) {
    const double turn = std::numbers::pi * k * edge;
    const double smoothing = std::sin(turn) / turn;
    components.push_back({k * hz, 4.0 / (std::numbers::pi * k) * smoothing * smoothing,
                          (k / 2) % 2 == 0 ? 0.0 : std::numbers::pi, std::nullopt});
  }
  return components;
}

/// Scales a series of one fundamental until the light has exactly this percent flicker,
/// 100 (max − min)/(max + min).
Components with_percent_flicker(Components components, double percent) {
  constexpr int points = 4096;  // eighty for each cycle of the highest order
  const double period_s = 1.0 / components.front().hz;
  double highest = 0.0;
  double lowest = 0.0;
  for (int i = 0; i < points; ++i) {
    const double t_s = period_s * i / points;
    double ripple = 0.0;
    for (const LightComponent& c : components) {
      ripple += c.amplitude * std::cos(arithmetic::turn * c.hz * t_s + c.phase_rad);
    }
    highest = std::max(highest, ripple);
    lowest = std::min(lowest, ripple);
  }
  const double part = percent / 100.0;
  const double scale = 2.0 * part / ((highest - lowest) - part * (highest + lowest));
  for (LightComponent& c : components) c.amplitude *= scale;
  return components;
}

/// Thermal inertia halves the ripple of a filament when the mains runs twice as fast.
double filament_percent(double percent_at_60_hz, double mains_hz) {
  return std::min(100.0, percent_at_60_hz * 60.0 / mains_hz);
}

struct Kind {
  TypicalLight light;
  Components (*components)(double mains_hz);
  bool on_mains;
};

const std::vector<Kind>& kinds() {
  static const std::vector<Kind> all = {
      {{"daylight", "a window: steady, to dilute other lights with", "by definition"},
       [](double) { return Components{}; },
       false},
      {{"tungsten", "household filament lamp on AC: 6.6 % at 60 Hz mains, 7.9 % at 50 Hz",
        "4 to 10 %: " + lrt_paper + "; 6.6 % at 60 Hz: " + fact_sheet},
       [](double mains_hz) {
         return with_percent_flicker(mains_ripple(mains_hz, 0.0), filament_percent(6.6, mains_hz));
       },
       true},
      {{"halogen", "halogen filament lamp on AC: 5 % at 60 Hz mains, 6 % at 50 Hz", fact_sheet},
       [](double mains_hz) {
         return with_percent_flicker(mains_ripple(mains_hz, 0.0), filament_percent(5.0, mains_hz));
       },
       true},
      {{"tube-magnetic", "fluorescent tube on a magnetic ballast: 28 %", fact_sheet},
       [](double mains_hz) { return with_percent_flicker(mains_ripple(mains_hz, 1.0), 28.0); },
       true},
      {{"tube-electronic",
        "fluorescent tube on an electronic ballast: small, taken as 1 % at twice the mains and "
        "5 % at 30 kHz",
        "small, mostly at 20 to 40 kHz: " + lrt_paper + "; the two figures are ours"},
       [](double mains_hz) {
         Components components = with_percent_flicker(mains_ripple(mains_hz, 0.0), 1.0);
         components.insert(components.begin(), {30000.0, 0.05, 0.0, std::nullopt});
         return components;
       },
       true},
      {{"compact-fluorescent", "compact fluorescent lamp with built-in electronics: 8 %",
        fact_sheet},
       [](double mains_hz) { return with_percent_flicker(mains_ripple(mains_hz, 1.0), 8.0); },
       true},
      {{"compact-magnetic", "compact fluorescent lamp on a magnetic ballast: 37 %", fact_sheet},
       [](double mains_hz) { return with_percent_flicker(mains_ripple(mains_hz, 0.5), 37.0); },
       true},
      {{"led-steady", "LED on a driver with ample storage: 0.15 %",
        "0 to 3 % for good drivers: " + fact_sheet + "; the figure is ours"},
       [](double mains_hz) { return with_percent_flicker(mains_ripple(mains_hz, 0.0), 0.15); },
       true},
      {{"led-smoothed", "LED on a driver with a small capacitor: taken as 15 %",
        "between good (0 to 3 %) and none (100 %): " + fact_sheet + "; the figure is ours"},
       [](double mains_hz) { return with_percent_flicker(mains_ripple(mains_hz, 0.5), 15.0); },
       true},
      {{"led-rippled", "LED on rectified mains without a capacitor: 100 %",
        "100 % for poor drivers: " + fact_sheet},
       [](double mains_hz) { return with_percent_flicker(mains_ripple(mains_hz, 1.0), 100.0); },
       true},
      {{"led-pwm", "LED strip dimmed to half by switching at 400 Hz: 100 %",
        "100 %, commonly 300 to 400 Hz: " + lrt_paper},
       [](double) { return with_percent_flicker(square(400.0, 0.02), 100.0); },
       false},
      {{"metal-halide", "metal halide lamp on a magnetic ballast: 52 %", fact_sheet},
       [](double mains_hz) { return with_percent_flicker(mains_ripple(mains_hz, 0.0), 52.0); },
       true},
      {{"sodium", "high-pressure sodium lamp on a magnetic ballast: 95 %",
        fact_sheet + " and the least certain of these"},
       [](double mains_hz) { return with_percent_flicker(mains_ripple(mains_hz, 0.5), 95.0); },
       true},
  };
  return all;
}

[[noreturn]] void refuse(std::string_view name) {
  std::string near;
  std::string all;
  for (const Kind& kind : kinds()) {
    const std::string& known = kind.light.name;
    all += (all.empty() ? "" : ", ") + known;
    if (name.size() > 40 || name.empty()) continue;
    const bool part = name.size() >= 3 && known.find(name) != std::string::npos;
    if (part || words::edits_between(name, known) <= words::most_slips)
      near += (near.empty() ? "" : " or ") + known;
  }
  const std::string shown = words::excerpt(name);
  if (!near.empty()) {
    throw UsageError(fmt::format("no typical light is called '{}'; did you mean {}?", shown, near));
  }
  throw UsageError(fmt::format("no typical light is called '{}'; there are {}", shown, all));
}

}  // namespace

const std::vector<TypicalLight>& typical_lights() {
  static const std::vector<TypicalLight> all = [] {
    std::vector<TypicalLight> lights;
    for (const Kind& kind : kinds()) lights.push_back(kind.light);
    return lights;
  }();
  return all;
}

Light typical_light(std::string_view name, double mains_hz) {
  require_mains_hz(mains_hz);
  const auto kind = std::find_if(kinds().begin(), kinds().end(),
                                 [&](const Kind& k) { return k.light.name == name; });
  if (kind == kinds().end()) refuse(name);
  Light light;
  light.name = kind->light.name;
  light.source = "typical figure: " + kind->light.source;
  light.depth = DepthKnown::typical;
  light.components = kind->components(mains_hz);
  std::stable_sort(
      light.components.begin(), light.components.end(),
      [](const LightComponent& a, const LightComponent& b) { return a.amplitude > b.amplitude; });
  if (kind->on_mains) light.mains_hz = mains_hz;
  return light;
}

}  // namespace lampbeat
