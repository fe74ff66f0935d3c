#include "signal/states/state_figures.hpp"

#include "words/numbers.hpp"
#include "words/units.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace lampbeat::signal::states {

namespace {

/// Below these shares of the brightest state's level a lamp is off: a steady glimmer, and one that
/// ripples (a neighbour's light, hum on the cable).
constexpr double steady_dark_share = 0.05;
constexpr double rippling_dark_share = 0.02;
/// Percent flicker of tones sampled too sparsely to be folded is at most about this much more than
/// the sum of their amplitudes: of fully rectified mains the fundamental alone is two thirds of the
/// mean; of a square wave it is more than the whole.
constexpr double unseen_harmonics = 1.5;

double tone_percent(const JudgedState& state) {
  double sum = 0.0;
  for (const LightComponent& c : light_components(state.figures)) sum += 100.0 * c.amplitude;
  return std::min(100.0, unseen_harmonics * sum);
}

/// Of a lit state.
double depth(const JudgedState& state) {
  if (state.trust.steady) return 0.0;
  return state.figures.percent_flicker.value_or(tone_percent(state));
}

/// The worst of one figure over the lit states; empty where a state that has a rhythm lacks it.
template <typename Figure>
std::optional<double> worst(const std::vector<JudgedState>& states, Figure figure) {
  std::optional<double> most;
  for (const JudgedState& state : states) {
    if (state.dark) continue;
    const std::optional<double> value = figure(state.figures);
    if (!value && !state.trust.steady) return std::nullopt;
    if (value) most = std::max(most.value_or(*value), *value);
  }
  return most;
}

void take_worst_depth(Measurement& m, const std::vector<JudgedState>& states) {
  const JudgedState* worst = nullptr;
  for (const JudgedState& state : states) {
    if (!state.dark && state.figures.percent_flicker && (!worst || depth(state) > depth(*worst))) {
      worst = &state;
    }
  }
  const bool unknown = std::any_of(states.begin(), states.end(), [&](const JudgedState& state) {
    return !state.dark && state.unknown_depth() && (!worst || depth(state) > depth(*worst));
  });
  m.percent_flicker = m.percent_flicker_sd = std::nullopt;
  if (!worst || unknown) return;
  m.percent_flicker = worst->figures.percent_flicker;
  m.percent_flicker_sd = worst->figures.percent_flicker_sd;
}

void take_worst_index(Measurement& m, const std::vector<JudgedState>& states) {
  m.flicker_index = worst(states, [](const Measurement& s) { return s.flicker_index; });
  m.flicker_index_sd = std::nullopt;
  for (const JudgedState& state : states) {
    if (!state.dark && m.flicker_index && state.figures.flicker_index == m.flicker_index) {
      m.flicker_index_sd = state.figures.flicker_index_sd;
    }
  }
}

void take_steadiness(Measurement& m, const std::vector<JudgedState>& states) {
  m.steady_below_percent = std::nullopt;
  for (const JudgedState& state : states) {
    if (state.dark || !state.figures.steady_below_percent) {
      m.steady_below_percent = m.steady_from_hz = std::nullopt;
      return;
    }
    m.steady_below_percent =
        std::max(m.steady_below_percent.value_or(0.0), *state.figures.steady_below_percent);
  }
}

std::string when(const Stretch& s) {
  return fmt::format("from {:.1f} s to {:.1f} s", s.from_s, s.to_s);
}

MeasuredState described(const JudgedState& state, bool shown) {
  const Measurement& m = state.figures;
  const Stretch& stretch = longest(state.epoch->stretches());
  MeasuredState s;
  s.from_s = stretch.from_s;
  s.to_s = stretch.to_s;
  s.dark = state.dark;
  s.shown = shown;
  if (state.trust.mean()) s.mean = state.tones.mean;
  if (state.dark) return s;
  s.percent_flicker = m.percent_flicker;
  s.flicker_index = m.flicker_index;
  s.dominant_hz = m.dominant_hz;
  s.light.what = when(stretch);
  s.light.mains_hz = m.mains_hz;
  s.light.noise_percent = m.steady_below_percent.value_or(0.0);
  s.light.unexplained = m.unexplained;
  s.light.components = light_components(m);
  return s;
}

/// Where the mean was lost each state is as deep as it can be.
void add_deepest_of_others(Measurement& m, const std::vector<JudgedState>& states,
                           std::size_t shown) {
  for (std::size_t i = 0; i < states.size(); ++i) {
    if (i == shown || states[i].dark) continue;
    for (LightState light : states[i].figures.deepest) {
      const std::string times = when(longest(states[i].epoch->stretches()));
      light.what = light.what.empty() ? times : times + ", " + light.what;
      m.deepest.push_back(std::move(light));
    }
  }
}

std::string state_words(const JudgedState& state) {
  const Measurement& m = state.figures;
  std::string what = "not known";
  if (state.dark) {
    what = "dark";
  } else if (m.steady_below_percent) {
    what = fmt::format("steady (nothing above {})", words::percent(*m.steady_below_percent));
  } else if (m.percent_flicker && m.dominant_hz) {
    what =
        fmt::format("{} at {}", words::percent(*m.percent_flicker), words::hertz(*m.dominant_hz));
  } else if (m.dominant_hz) {
    what = fmt::format("beating at {}, how deep is not known", words::hertz(*m.dominant_hz));
  }
  const auto& stretches = state.epoch->stretches();
  std::string times = when(stretches.front());
  if (stretches.size() == 2) times += " and " + when(stretches[1]);
  if (stretches.size() > 2) times += fmt::format(" and {} times more", stretches.size() - 1);
  return what + " " + times;
}

}  // namespace

void mark_dark(std::vector<JudgedState>& states) {
  const auto brightest = std::max_element(
      states.begin(), states.end(),
      [](const JudgedState& a, const JudgedState& b) { return a.tones.mean < b.tones.mean; });
  // Without a level nothing is dark.
  if (brightest == states.end() || brightest->trust.no_dc || brightest->trust.below_zero) return;
  for (JudgedState& state : states) {
    const double share = state.tones.series.empty() ? steady_dark_share : rippling_dark_share;
    state.dark = state.tones.mean < share * brightest->tones.mean;
  }
}

std::size_t shown_state(const std::vector<JudgedState>& states) {
  std::size_t shown = 0;
  const auto before = [&](const JudgedState& a, const JudgedState& b) {
    if (a.dark != b.dark) return b.dark;
    if (!a.dark && depth(a) != depth(b)) return depth(a) > depth(b);
    return a.epoch->seconds() > b.epoch->seconds();
  };
  for (std::size_t i = 1; i < states.size(); ++i) {
    if (before(states[i], states[shown])) shown = i;
  }
  return shown;
}

void take_worst(Measurement& m, const std::vector<JudgedState>& states, std::size_t shown) {
  take_worst_depth(m, states);
  take_worst_index(m, states);
  take_steadiness(m, states);
  m.svm = worst(states, [](const Measurement& s) { return s.svm; });
  // Nothing flickered while it was lit, and yet it is not steady.
  if (!m.percent_flicker && !m.steady_below_percent && m.svm <= 0.0) m.svm = std::nullopt;
  for (const Ja10CutOff cut_off : ja10_cut_offs) {
    m.lowpass_percent[cut_off] =
        worst(states, [&](const Measurement& s) { return s.lowpass_percent[cut_off]; });
  }
  for (const JudgedState& state : states) {
    if (state.dark || !state.figures.ieee) continue;
    if (!m.ieee || worse(*state.figures.ieee, *m.ieee)) m.ieee = state.figures.ieee;
  }
  for (std::size_t i = 0; i < states.size(); ++i) {
    m.states.push_back(described(states[i], i == shown));
  }
  if (!m.deepest.empty()) add_deepest_of_others(m, states, shown);
  m.standards = standard_verdicts(standard_figures(m));
}

std::string switching_words(const std::vector<JudgedState>& states) {
  const auto lit =
      std::count_if(states.begin(), states.end(), [](const auto& s) { return !s.dark; });
  if (lit != 1 || states.size() != 2) return "";
  const Stretch& first = states.front().epoch->stretches().front();
  const Stretch& second = states.back().epoch->stretches().front();
  const bool once =
      states.front().epoch->stretches().size() + states.back().epoch->stretches().size() == 2;
  if (!once) return "went on and off";
  const bool dark_first = states.front().dark == (first.from_s < second.from_s);
  return fmt::format("{} at {:.1f} s", dark_first ? "came on" : "went off",
                     std::max(first.from_s, second.from_s));
}

std::string states_words(const std::vector<JudgedState>& states) {
  constexpr std::size_t most_told = 6;  // more is no sentence
  std::string words;
  for (std::size_t i = 0; i < std::min(states.size(), most_told); ++i) {
    words += (words.empty() ? "" : "; ") + state_words(states[i]);
  }
  if (states.size() > most_told) words += fmt::format("; and {} more", states.size() - most_told);
  return words;
}

}  // namespace lampbeat::signal::states
