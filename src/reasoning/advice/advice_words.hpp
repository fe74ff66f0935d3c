#pragma once

#include <optional>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "lampbeat/prediction.hpp"

// The turns of phrase advice is made of.

namespace lampbeat::reasoning::advice {

/// A beat below this is told as standing still: a turn in days.
inline constexpr double standing_hz = 1e-6;

/// Sentences in the order they are thought of, the weightiest first. Those that have nothing to say
/// are left out, and so is what comes after the fifth: nobody reads on.
class Sentences {
 public:
  void say(std::string sentence);
  std::vector<std::string> said() && { return std::move(said_); }

 private:
  std::vector<std::string> said_;
};

/// "100 Hz", "119.98 Hz", "24 kHz", as every table has it.
std::string hertz_words(double hz);
/// "28.3 %", "0.55 %", as every table has it.
std::string percent_words(double percent);
/// A share in per cent that is no less than it: "84", from 99 on with a digit more, "99.3".
std::string percent_rounded_up(double share);
/// "two", "12".
std::string count_words(long count);
/// A light's name in quotes, as a terminal may show it.
std::string name_words(const std::string& name);
/// "a third of a stop darker, motion blur 80 % of 180°" against a 180° shutter; empty near it.
std::string cost_words(double exposure_s, FrameRate fps);

/// A rhythm of a mixture: its frequency and its part of the mean light.
struct Rhythmic {
  double hz = 0.0;
  double amplitude = 0.0;
};
/// The fundamental of every rhythm that leaves more than 0.2 % of the light rippling, strongest
/// first, equal frequencies once.
std::vector<Rhythmic> rhythms_worth_a_word(std::span<const LightShare> lights);

/// What one light leaves of its ripple after the exposure, as part of the mixture's mean.
double ripple_left(const LightShare& light, double exposure_s);

/// The light that leaves most ripple, when several do and it stands out (at least 1.5 times the
/// next); a sentence with how many times as much, or empty.
std::string blame_words(std::span<const LightShare> lights, double exposure_s);

/// "1/60 s spans exactly two 120 Hz cycles", or empty when some rhythm does not fit.
std::string whole_cycle_words(std::span<const LightShare> lights, const std::string& shutter,
                              double exposure_s);

/// Percent flicker of the light that contributes the strongest rhythm: as it was measured, else
/// that of the rhythm.
double told_percent_flicker(std::span<const LightShare> lights);

/// What the case says about "it is LED, so it is fine" and "a constant-current driver does not
/// flicker"; empty when no LED is involved or it is neither clearly steady nor clearly not.
std::string led_words(std::span<const LightShare> lights);

/// The other of the two mains frequencies of the world; empty when this is neither.
std::optional<double> other_mains_hz(std::optional<double> mains_hz);

/// What was asked, under another country's mains: that has a tolerance of its own, while clocks of
/// lights and the way the picture is watched are as they were.
PredictionOptions on_other_mains(PredictionOptions asked, double mains_hz);

}  // namespace lampbeat::reasoning::advice
