#include <fmt/format.h>

#include <algorithm>

#include "signal/measurement/doubts.hpp"
#include "signal/measurement/honesty.hpp"
#include "words/numbers.hpp"

// Doubts about the capture as a whole: its states, its disturbances, what no rhythm explains.

namespace lampbeat::signal::measurement {

namespace {

constexpr double two_digits_below_hz = 9.95;
constexpr std::size_t most_bands_told = 3;

std::string hertz(double hz) {
  return hz < two_digits_below_hz ? fmt::format("{} Hz", words::in_digits_at_most(hz, 2))
                                  : fmt::format("{:.0f} Hz", hz);
}

std::string band_words(const std::vector<UnexplainedLight>& bands) {
  std::string words;
  for (std::size_t i = 0; i < std::min(bands.size(), most_bands_told); ++i) {
    words += fmt::format("{}from {} to {}", i == 0 ? "" : (i + 1 < bands.size() ? ", " : " and "),
                         hertz(bands[i].from_hz), hertz(bands[i].to_hz));
  }
  return words;
}

/// What was not in any band: a swing of the readings, or strays among them.
Finding out_of_bands(const states::JudgedState& state) {
  const double mean = state.tones.mean;
  const left_over::Strays& strays = state.left.strays;
  if (!state.excess && strays.samples > 0) {
    const double share_percent = 100.0 * static_cast<double>(strays.samples) / state.samples;
    return honesty::stray_light(100.0 * strays.off / mean, share_percent, strays.at_s);
  }
  const left_over::Excess excess = state.excess.value_or(left_over::Excess{});
  return honesty::swing_unexplained(100.0 * excess.off / mean,
                                    excess.readings < left_over::Extremes::kept, excess.at_s);
}

}  // namespace

Findings note_left_over(const states::JudgedState& state, const Measurement& figures) {
  Findings doubts;
  const auto& few = state.left.few;
  if (few && state.trust.mean()) {
    doubts.push_back(few->hz ? honesty::figures_from_edges(std::max(few->rises, few->falls))
                             : honesty::edges_too_few(few->rises, few->falls));
  }
  if (!state.trust.unexplained || figures.unexplained.empty()) return doubts;
  doubts.push_back(state.left.surplus.empty()
                       ? out_of_bands(state)
                       : honesty::unexplained_light(*figures.unexplained_percent,
                                                    band_words(figures.unexplained),
                                                    state.trust.steady));
  return doubts;
}

Findings note_changes(const std::vector<states::JudgedState>& states, int forgotten,
                      const Disturbances& disturbances) {
  Findings doubts;
  if (states.size() > 1) {
    doubts.push_back(honesty::states_differ(states::states_words(states),
                                            states::switching_words(states), forgotten));
  }
  // A lamp that blinks has been told by its rhythm.
  const states::JudgedState& shown = states[states::shown_state(states)];
  if (disturbances.count > 0 && !shown.left.slow && !shown.left.few) {
    const double mean = shown.tones.mean;
    std::optional<honesty::PercentRange> readings;
    if (shown.trust.mean() && mean > 0.0) {
      readings = {100.0 * disturbances.lowest / mean, 100.0 * disturbances.highest / mean};
    }
    doubts.push_back(honesty::disturbed(disturbances.count, disturbances.longest.from_s,
                                        disturbances.longest.seconds(), readings));
  }
  return doubts;
}

}  // namespace lampbeat::signal::measurement
