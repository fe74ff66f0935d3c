#include <algorithm>
#include <cmath>
#include <numeric>
#include <optional>

#include <fmt/format.h>

#include "lampbeat/error.hpp"
#include "reasoning/mixture/series.hpp"

namespace lampbeat::reasoning::mixture {
namespace {

/// Frequencies this close (relative) to a whole multiple count as one: over a minute a 1 kHz
/// harmonic then slides by less than an eighth of a cycle, which no measurement could tell.
constexpr double same_series = 2e-6;
/// Other simple ratios (1000 Hz and 120 Hz are 25:3) only hold while both are exactly that.
constexpr double exact_ratio = 1e-9;
/// Ratios of larger numbers repeat so slowly that the rhythms are as good as unrelated.
constexpr int largest_divisor = 32;
constexpr int highest_order_tied = 256;

/// Far beyond any light; keeps the arithmetic in range whatever a file says.
constexpr double highest_hz = 1e9;
constexpr int highest_mains_order = 1000000;

struct Ratio {
  int numerator = 0;
  int denominator = 1;
};

/// `value` as a simple fraction, if it is one.
std::optional<Ratio> simple_ratio(double value) {
  for (int q = 1; q <= largest_divisor; ++q) {
    const double scaled = value * q;
    const double whole = std::nearbyint(scaled);
    if (whole < 1.0 || whole > highest_order_tied) continue;
    const double tolerance = (q == 1 || whole == 1.0) ? same_series : exact_ratio;
    if (std::abs(scaled - whole) <= tolerance * whole) return Ratio{static_cast<int>(whole), q};
  }
  return std::nullopt;
}

/// Adds a component to the rhythm it belongs to, or gives it one of its own.
void add(std::vector<Series>& rhythms, std::size_t first, double hz,
         std::complex<double> amplitude) {
  for (std::size_t i = first; i < rhythms.size(); ++i) {
    Series& rhythm = rhythms[i];
    const std::optional<Ratio> ratio = simple_ratio(hz / rhythm.hz);
    if (!ratio || highest_order(rhythm.harmonics) * ratio->denominator > highest_order_tied)
      continue;
    rhythm.hz /= ratio->denominator;
    for (Harmonic& h : rhythm.harmonics) h.order *= ratio->denominator;
    for (Harmonic& h : rhythm.harmonics) {
      if (h.order == ratio->numerator) {
        h.amplitude += amplitude;
        return;
      }
    }
    rhythm.harmonics.push_back({ratio->numerator, amplitude});
    return;
  }
  rhythms.push_back({hz, {{1, amplitude}}});
}

/// Throws UsageError for a component that no light has.
void check_components(const std::string& name, const std::vector<LightComponent>& components) {
  for (const LightComponent& c : components) {
    if (!(c.hz > 0.0 && c.hz <= highest_hz) || !(c.amplitude >= 0.0) ||
        !std::isfinite(c.amplitude) || !std::isfinite(c.phase_rad)) {
      throw UsageError(
          fmt::format("a component of '{}' is not usable: {} Hz with amplitude {}; frequencies "
                      "are above 0 and amplitudes are not negative",
                      name, c.hz, c.amplitude));
    }
    if (c.mains_order && (*c.mains_order < 1 || *c.mains_order > highest_mains_order)) {
      throw UsageError(
          fmt::format("a component of '{}' claims to be {} times the mains; that is 1 or more",
                      name, *c.mains_order));
    }
  }
}

}  // namespace

double strongest_amplitude(std::span<const Harmonic> harmonics) {
  double strongest = 0.0;
  for (const Harmonic& h : harmonics) strongest = std::max(strongest, std::norm(h.amplitude));
  return std::sqrt(strongest);
}

int highest_order(std::span<const Harmonic> harmonics) {
  int highest = 1;
  for (const Harmonic& h : harmonics) highest = std::max(highest, h.order);
  return highest;
}

bool some_any_waveform(std::span<const Series> rhythms) {
  return std::any_of(rhythms.begin(), rhythms.end(),
                     [](const Series& rhythm) { return rhythm.any_waveform; });
}

std::vector<LightShare> with_normal_shares(std::span<const LightShare> lights) {
  if (lights.empty()) {
    throw UsageError(
        "there is no light to judge; name at least one light, capture or typical lamp");
  }
  double sum = 0.0;
  for (const LightShare& l : lights) {
    if (!(l.share > 0.0) || !std::isfinite(l.share)) {
      throw UsageError(
          fmt::format("the share of '{}' is {}; a share says how much of the light comes from it "
                      "and is above 0",
                      l.light.name, l.share));
    }
    sum += l.share;
    check_components(l.light.name, l.light.components);
    for (const LightState& state : l.light.other_states) {
      check_components(l.light.name, state.components);
    }
  }
  std::vector<LightShare> normal(lights.begin(), lights.end());
  for (LightShare& l : normal) l.share /= sum;
  return normal;
}

std::optional<Series> locked_series(const LightShare& l) {
  if (!l.light.mains_hz) return std::nullopt;
  int common = 0;
  for (const LightComponent& c : l.light.components) {
    if (c.mains_order) common = std::gcd(common, *c.mains_order);
  }
  if (common == 0) return std::nullopt;  // nothing keeps to the mains
  Series locked{common * *l.light.mains_hz, {}};
  for (const LightComponent& c : l.light.components) {
    if (!c.mains_order || !(c.amplitude > 0.0)) continue;
    locked.harmonics.push_back(
        {*c.mains_order / common, std::polar(l.share * c.amplitude, c.phase_rad)});
  }
  if (locked.harmonics.empty()) return std::nullopt;
  locked.any_waveform = l.light.any_waveform;
  return locked;
}

std::vector<Series> series_of(std::span<const LightShare> lights) {
  std::vector<Series> rhythms;
  for (const LightShare& l : lights) {
    const std::size_t first = rhythms.size();
    if (auto locked = locked_series(l)) rhythms.push_back(std::move(*locked));
    for (const LightComponent& c : l.light.components) {
      if ((l.light.mains_hz && c.mains_order) || !(c.amplitude > 0.0)) continue;
      add(rhythms, first, c.hz, std::polar(l.share * c.amplitude, c.phase_rad));
    }
    for (std::size_t i = first; i < rhythms.size(); ++i) {
      rhythms[i].any_waveform = l.light.any_waveform;
    }
  }
  return rhythms;
}

}  // namespace lampbeat::reasoning::mixture
