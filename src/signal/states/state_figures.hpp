#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "lampbeat/measurement.hpp"
#include "signal/left_over/hum.hpp"
#include "signal/left_over/left_over.hpp"
#include "signal/states/epoch.hpp"
#include "signal/states/measurement_trust.hpp"
#include "signal/tones/aliases.hpp"

namespace lampbeat::signal::states {

/// One state of the light, judged by itself.
struct JudgedState {
  const Epoch* epoch = nullptr;
  bool dark = false;                ///< the lamp was off: not a light to be judged
  ToneAnalysis tones;               ///< hum taken out
  std::vector<left_over::Hum> hum;  ///< lines that the covered sensor gave as well
  left_over::LeftOver left;         ///< beside the rhythms of its windows
  double samples = 0.0;  ///< so many are of it: all of the capture's where it is the only one
  std::optional<left_over::Excess> excess;  ///< of the readings' swing over all that was found
  MeasurementTrust trust;
  std::vector<tones::AliasDoubt> alias_doubts;  ///< rhythms that may be faster ones, folded down
  Measurement figures;                          ///< of this state alone

  /// It has a rhythm, and its percent flicker was withheld.
  bool unknown_depth() const { return !trust.steady && !figures.percent_flicker; }
};

/// Marks the states in which the lamp was off: far darker than the brightest one.
void mark_dark(std::vector<JudgedState>& states);

/// The lit state of the highest percent flicker, which components and doubts describe; the only one
/// of a light that had one.
std::size_t shown_state(const std::vector<JudgedState>& states);

/// Makes each figure of `m`, which are those of the shown state, its own worst over the lit states,
/// and lists all of them. Only a light that was steady in every state, and never dark, is called
/// steady: going out may be how it flickers.
void take_worst(Measurement& m, const std::vector<JudgedState>& states, std::size_t shown);

/// What the states were, in plain words: "dark from 0.0 s to 2.5 s; 40 % at 100 Hz from 2.5 s
/// to 5.0 s".
std::string states_words(const std::vector<JudgedState>& states);

/// What a lamp did that is dark in one state and lit in one other: "came on at 2.7 s"; empty for
/// all others.
std::string switching_words(const std::vector<JudgedState>& states);

}  // namespace lampbeat::signal::states
