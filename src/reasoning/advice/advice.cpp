#include "lampbeat/advice.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string_view>

#include "lampbeat/banding.hpp"
#include "reasoning/advice/advice_words.hpp"
#include "reasoning/advice/other_settings.hpp"
#include "words/numbers.hpp"
#include "words/units.hpp"

// Advice on one shot. Each function below is one thought: it returns a sentence, or nothing when
// the thought does not apply to this case.

namespace lampbeat {

namespace {

using namespace reasoning;

std::string steady_light(const Prediction& p) {
  if (!advice::rhythms_worth_a_word(p.lights).empty()) return "";
  if (!is_clean(p.worst)) return "";
  const bool none = std::all_of(p.lights.begin(), p.lights.end(),
                                [](const LightShare& l) { return l.light.components.empty(); });
  const bool hidden = has_finding(p.findings, "below_measured_noise");
  return fmt::format("{} ripple was found in these lights, {}.", none ? "No" : "Hardly any",
                     hidden ? "but weak ripple may be hidden by the recording's noise"
                            : "so bands are not expected at this shutter");
}

std::string why_not(const Prediction& p, const std::string& shutter) {
  if (!is_clean(p.worst) || advice::rhythms_worth_a_word(p.lights).empty()) return "";
  const std::string whole = advice::whole_cycle_words(p.lights, shutter, p.shot.exposure_s);
  if (!whole.empty()) {
    return fmt::format("{}, so every {} collects the same light.", whole,
                       p.shot.readout_s > 0.0 ? "row" : "frame");
  }
  const double left = deeper_percent(p.worst);
  return fmt::format("{} leaves at most {} of the light rippling, too little to see.", shutter,
                     advice::percent_words(left));
}

constexpr double told_cycles = 0.005;  // what two decimals can tell

bool is_whole(double cycles) {
  constexpr double as_typed = 1e-6;  // the digits of "16.6667ms"
  return std::abs(cycles - std::round(cycles)) <= as_typed * cycles;
}

/// With decimals enough to show that the number is none of whole cycles.
std::string counted_cycles(double cycles) {
  const double beyond = std::abs(cycles - std::round(cycles));
  if (is_whole(cycles)) return fmt::format("{:.0f}", cycles);
  if (beyond >= told_cycles) return fmt::format("{:.2f}", cycles);
  return fmt::format("{:.{}f}", cycles, static_cast<int>(std::ceil(-std::log10(beyond))));
}

std::string why(const Prediction& p, const std::string& shutter) {
  if (is_clean(p.worst)) return "";
  const std::vector<advice::Rhythmic> rhythms = advice::rhythms_worth_a_word(p.lights);
  if (rhythms.empty()) return "";
  const Recorded& r = is_clean(p.nominal) ? p.worst : p.nominal;
  const double hz = r.band_hz.value_or(rhythms.front().hz);
  const double cycles = hz * p.shot.exposure_s;
  const bool rolling = p.shot.readout_s > 0.0;
  if (is_clean(p.nominal) && p.worst.clock_percent != 0.0) {
    return fmt::format(
        "{} is clean while the light keeps its own time, but not when its clock is off by {} "
        "%, as it may be ({} left).",
        shutter, words::in_digits_at_most(std::abs(p.worst.clock_percent), 2),
        advice::percent_words(deeper_percent(p.worst)));
  }
  if (is_clean(p.nominal) && p.mains_hz && p.worst.mains_hz && *p.worst.mains_hz != *p.mains_hz) {
    return fmt::format(
        "{} is clean at {} mains, but not when the mains is off by {}, as it "
        "may be ({} left).",
        shutter, advice::hertz_words(*p.mains_hz),
        words::hertz(std::abs(*p.worst.mains_hz - *p.mains_hz), 2),
        advice::percent_words(deeper_percent(p.worst)));
  }
  if (is_clean(p.nominal)) {
    return fmt::format(
        "{} is clean for the rhythms as they were measured, but another state of the light, or "
        "what "
        "no rhythm explains, may leave {}.",
        shutter, advice::percent_words(deeper_percent(p.worst)));
  }
  const std::string left = advice::percent_words(shown_percent(r));
  constexpr double nearly_whole = 0.95;  // more is called a cycle with something missing
  if (cycles < nearly_whole) {
    return fmt::format(
        "{} catches only {:.2f} of a {} cycle, a different part of it in every {}: "
        "{} of the light remains as {}.",
        shutter, cycles, advice::hertz_words(hz), rolling ? "row" : "frame", left, shown_word(r));
  }
  const bool pulsing = std::string_view(shown_word(r)) == "pulsing";
  return fmt::format("{} lasts {} cycles of the {} light, {}{} of the light remains as {}.",
                     shutter, counted_cycles(cycles), advice::hertz_words(hz),
                     is_whole(cycles)
                         ? "and "
                         : fmt::format("not a whole number, so each {} catches a different amount "
                                       "and ",
                                       pulsing || !rolling ? "frame" : "row"),
                     left, shown_word(r));
}

std::string caution(const Prediction& p) {
  if (!has_finding(p.findings, "photosensitive_caution")) return "";
  // How often, as shown, the finding says: slow motion is not shown as it is recorded.
  return "Do not publish this take: the whole picture flashes, which may harm people with "
         "photosensitive epilepsy.";
}

/// "Frame rate in step with the mains is enough": true only without rolling rows.
std::string frame_rate_rule(const Prediction& p) {
  const std::vector<advice::Rhythmic> rhythms = advice::rhythms_worth_a_word(p.lights);
  if (rhythms.empty()) return "";
  constexpr double in_step_hz = 0.5;  // a turn in two seconds or more passes for standing still
  const double hz = rhythms.front().hz;
  if (hz < p.shot.fps.per_s() - 1e-9 || std::abs(alias_hz(hz, p.shot.fps)) > in_step_hz) return "";
  const std::string rate = frame_rate_label(p.shot.fps);
  if (is_clean(p.worst)) return "";
  if (p.shot.readout_s > 0.0) {
    return fmt::format(
        "{} fps is in step with the {} light, but that only makes the bands {}; the shutter "
        "decides whether there are any.",
        rate, advice::hertz_words(hz),
        std::abs(alias_hz(hz, p.shot.fps)) < advice::standing_hz ? "stand still" : "crawl");
  }
  return fmt::format(
      "{} fps is in step with the {} light, but only while the mains keeps time; "
      "when it drifts the picture breathes.",
      rate, advice::hertz_words(hz));
}

std::string drift(const Prediction& p) {
  if (!is_clean(p.worst) || !p.mains_hz || p.mains_tolerance_hz <= 0.0) return "";
  if (advice::whole_cycle_words(p.lights, "", p.shot.exposure_s).empty()) return "";
  return fmt::format(
      "It stays clean while the mains keeps within \u00b1{} of {}: at worst "
      "{} remains.",
      words::hertz(p.mains_tolerance_hz, 2), advice::hertz_words(*p.mains_hz),
      advice::percent_words(deeper_percent(p.worst)));
}

}  // namespace

std::vector<std::string> advise(const Prediction& p, std::span<const std::string> available,
                                std::optional<ShutterNotation> asked) {
  const advice::Spoken spoken{available, asked};
  const std::string shutter = advice::shutter_of(p, asked);
  const advice::Remedy remedy = advice::remedy(p, spoken);
  advice::Sentences sentences;
  sentences.say(steady_light(p));
  sentences.say(why_not(p, shutter));
  sentences.say(why(p, shutter));
  sentences.say(caution(p));
  sentences.say(remedy.sentence);
  if (remedy.little_clean) {
    const WaysOut ways = ways_out(p, available, asked);
    sentences.say(advice::slower_words(p, ways));
    sentences.say(advice::steady_words(p, ways, spoken));
  }
  if (!is_clean(p.worst)) sentences.say(advice::blame_words(p.lights, p.shot.exposure_s));
  sentences.say(frame_rate_rule(p));
  sentences.say(advice::led_words(p.lights));
  sentences.say(advice::travel(p, spoken));
  sentences.say(drift(p));
  return std::move(sentences).said();
}

}  // namespace lampbeat
