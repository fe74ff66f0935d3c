#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "lampbeat/advice.hpp"
#include "lampbeat/banding.hpp"
#include "lampbeat/camera.hpp"
#include "lampbeat/frequency_light.hpp"
#include "reasoning/advice/advice_words.hpp"
#include "reasoning/advice/common_setting.hpp"
#include "reasoning/advice/flashes.hpp"
#include "reasoning/camera/shutter_words.hpp"
#include "reasoning/mixture/mains.hpp"
#include "reasoning/shutters/shutters_outlook.hpp"
#include "reasoning/shutters/spoiler.hpp"
#include "words/lists.hpp"
#include "words/units.hpp"

// Advice on a whole plan: which setting to live with, where none exists and what would help.

namespace lampbeat {

namespace {

using namespace reasoning;

const Setting* best_at(const ShutterPlan& plan, FrameRate fps) {
  const auto found = std::find_if(plan.settings.begin(), plan.settings.end(),
                                  [&](const Setting& s) { return s.fps == fps; });
  return found == plan.settings.end() ? nullptr : &*found;
}

/// What nobody measured is assumed to roll.
bool rolling(const ShutterPlan& plan) { return plan.readout_s.value_or(assumed_readout_s) > 0.0; }

std::string why(const ShutterPlan& plan) {
  const std::vector<LightShare> meant =
      mixture::as_meant(plan.lights, plan.mains_hz, plan.options.mains_hz);
  for (const Setting& s : plan.settings) {
    if (!is_clean(s.worst)) continue;
    const std::string whole = advice::whole_cycle_words(
        meant, camera::shutter_words(s.label, s.exposure_s), s.exposure_s);
    if (whole.empty()) continue;
    return whole +
           fmt::format(", so every {} collects the same light.", rolling(plan) ? "row" : "frame");
  }
  return "";
}

bool all_alike(const std::vector<std::string>& words) {
  return std::all_of(words.begin(), words.end(),
                     [&](const std::string& word) { return word == words.front(); });
}

std::string steady_light(const ShutterPlan& plan) {
  if (!advice::rhythms_worth_a_word(plan.lights).empty()) return "";
  return "These lights hardly ripple at all: any shutter will do.";
}

std::string hopeless_rates(const ShutterPlan& plan) {
  std::vector<std::string> rates;
  std::vector<std::string> needs;
  for (const FrameRateOutlook& outlook : plan.outlooks) {
    if (outlook.any_clean || !best_at(plan, outlook.fps)) continue;
    rates.push_back(frame_rate_label(outlook.fps));
    if (outlook.needed_percent_flicker) {
      needs.push_back(words::percent_at_most(*outlook.needed_percent_flicker));
    }
  }
  if (rates.empty()) return "";
  if (some_by_frequency_alone(plan.lights)) {
    return fmt::format("At {} fps no shutter is clean for every light this frequency could be.",
                       words::listed(rates));
  }
  std::string need;
  if (needs.size() == rates.size()) {
    const bool alike = all_alike(needs);
    need = fmt::format(
        "; for 180\u00b0 the lights may flicker by {}{} at most, and these flicker by {}",
        alike ? needs.front() : words::listed(needs), alike ? "" : " respectively",
        advice::percent_words(advice::told_percent_flicker(plan.lights)));
  }
  return fmt::format("No shutter is clean at {} fps{}.", words::listed(rates), need);
}

/// For the rates at which nothing is clean, slower ones at which something is.
std::string slower_rates(const ShutterPlan& plan) {
  std::vector<std::string> rates;
  std::vector<std::string> instead;
  for (const FrameRateOutlook& outlook : plan.outlooks) {
    if (!outlook.slower) continue;
    const SlowerRate& slower = *outlook.slower;
    rates.push_back(frame_rate_label(outlook.fps));
    instead.push_back(fmt::format("{} fps at {}", frame_rate_label(slower.fps),
                                  camera::shutter_words(slower.label, slower.exposure_s)));
  }
  if (rates.empty()) return "";
  const bool several = rates.size() > 1;
  return fmt::format(
      "Instead of {} fps take {}{}: the fastest customary rate below {} with a clean "
      "shutter.",
      words::listed(rates), words::listed(instead), several ? " respectively" : "",
      several ? "each" : "it");
}

/// How much daylight would make the ordinary shutter clean where nothing is.
std::string steady_shares(const ShutterPlan& plan) {
  std::vector<std::string> rates;
  std::vector<std::string> shares;
  for (const FrameRateOutlook& outlook : plan.outlooks) {
    const std::optional<double> share = outlook.steady_share_at_180deg;
    if (outlook.any_clean || !best_at(plan, outlook.fps) || !share) continue;
    rates.push_back(frame_rate_label(outlook.fps));
    shares.push_back(advice::percent_rounded_up(*share) + " %");
  }
  if (rates.empty()) return "";
  const bool alike = all_alike(shares);
  return fmt::format(
      "180\u00b0 would be clean if daylight or flicker-free lamps gave at least {}{} of the light "
      "on "
      "the subject (at {} fps).",
      alike ? shares.front() : words::listed(shares), alike ? "" : " respectively",
      words::listed(rates));
}

std::string cost(const ShutterPlan& plan) {
  constexpr double no_cost_stops = 0.15;  // half the smallest step of a dial
  const Setting* dearest = nullptr;
  for (const FrameRateOutlook& outlook : plan.outlooks) {
    const Setting* best = best_at(plan, outlook.fps);
    if (!best || !is_clean(best->worst) || std::abs(best->stops_from_180deg) < no_cost_stops)
      continue;
    if (!dearest || std::abs(best->stops_from_180deg) > std::abs(dearest->stops_from_180deg)) {
      dearest = best;
    }
  }
  if (!dearest) return "";
  const double away_stops = std::abs(dearest->stops_from_180deg);
  const bool closest =
      std::none_of(plan.settings.begin(), plan.settings.end(), [&](const Setting& s) {
        return s.fps == dearest->fps && is_clean(s.worst) &&
               std::abs(s.stops_from_180deg) < away_stops;
      });
  return fmt::format(
      "At {} fps the {} is {}: {}.", frame_rate_label(dearest->fps),
      closest ? "clean shutter closest to the usual 180\u00b0" : "best clean shutter",
      camera::shutter_words(dearest->label, dearest->exposure_s),
      advice::cost_words(dearest->exposure_s, dearest->fps));
}

/// "Frame rate in step with the mains is enough", where the plan shows that it is not.
std::string frame_rate_rule(const ShutterPlan& plan) {
  const std::vector<advice::Rhythmic> rhythms = advice::rhythms_worth_a_word(plan.lights);
  if (rhythms.empty() || !rolling(plan)) return "";
  for (const Setting& s : plan.settings) {
    const double beat_hz = alias_hz(rhythms.front().hz, s.fps);
    if (s.nominal.verdict < Verdict::visible || std::abs(beat_hz) > advice::standing_hz ||
        s.fps.per_s() > rhythms.front().hz) {
      continue;
    }
    return fmt::format(
        "Matching the frame rate to the light is not enough: at {} fps, {} still shows bands, "
        "which only stand still.",
        frame_rate_label(s.fps), camera::shutter_words(s.label, s.exposure_s));
  }
  return "";
}

std::string blame(const ShutterPlan& plan) {
  if (const auto spoiler = shutters::spoiler_of(plan)) {
    return fmt::format("{} spoils it: without it {} would be clean.",
                       advice::name_words(spoiler->name), words::listed(spoiler->serving, "or"));
  }
  for (const FrameRateOutlook& outlook : plan.outlooks) {
    if (is_clean(outlook.at_180deg)) continue;
    return advice::blame_words(plan.lights, 0.5 * outlook.fps.frame_s());
  }
  return "";
}

/// Where nothing is clean, what comes nearest.
std::string least_bad(const ShutterPlan& plan) {
  for (const FrameRateOutlook& outlook : plan.outlooks) {
    const Setting* best = best_at(plan, outlook.fps);
    if (!best || is_clean(best->worst) || best->worst.verdict == Verdict::strong) continue;
    return fmt::format(
        "The least bad at {} fps is {}: {}, with {} of the light left rippling at worst.",
        frame_rate_label(best->fps), camera::shutter_words(best->label, best->exposure_s),
        verdict_word(best->worst.verdict), advice::percent_words(deeper_percent(best->worst)));
  }
  return "";
}

/// Where a light is known by its frequency alone, what whole cycles are good for all the same.
std::string whole_cycles_of_any(const ShutterPlan& plan) {
  const bool some = some_by_frequency_alone(plan.lights);
  for (const Setting& s : plan.settings) {
    if (!some || is_clean(s.worst) || !is_clean(s.nominal)) continue;
    const std::string shutter = camera::shutter_words(s.label, s.exposure_s);
    const std::string off =
        plan.mains_hz
            ? fmt::format("the mains \u00b1{} off", words::hertz(plan.mains_tolerance_hz, 2))
            : fmt::format("its clock \u00b1{} off",
                          advice::percent_words(*plan.clock_tolerance_percent));
    const auto lit = advice::shortest_clean_flash(plan, s);
    return fmt::format(
        "{} lasts whole cycles, so it is clean for every such light, but only while the frequency "
        "stays exactly as given. With {} {}. The verdicts assume the shortest flashes.",
        shutter, off,
        lit ? fmt::format("it is clean only for lights lit for {:.0f} % of each cycle or longer",
                          std::ceil(100.0 * *lit))
            : "hardly any light stays clean");
  }
  return "";
}

/// What the best setting would record on the other mains of the world.
std::string travel(const ShutterPlan& plan) {
  const std::optional<double> other_hz = advice::other_mains_hz(plan.mains_hz);
  if (!other_hz) return "";
  for (const Setting& s : plan.settings) {
    if (!is_clean(s.worst)) continue;
    const Shot shot{s.fps, s.exposure_s, s.readout_s, plan.rows};
    const Verdict abroad =
        predict(plan.lights, shot, advice::on_other_mains(plan.options, *other_hz)).worst.verdict;
    if (abroad == Verdict::clean) return "";
    return fmt::format("In a {} country {} at {} fps is {}: plan again with --mains {:.0f}.",
                       advice::hertz_words(*other_hz), camera::shutter_words(s.label, s.exposure_s),
                       frame_rate_label(s.fps), verdict_word(abroad), *other_hz);
  }
  return "";
}

}  // namespace

std::vector<std::string> advise(const ShutterPlan& plan) {
  advice::Sentences sentences;
  sentences.say(steady_light(plan));
  sentences.say(advice::common_setting(plan));
  sentences.say(why(plan));
  sentences.say(hopeless_rates(plan));
  sentences.say(whole_cycles_of_any(plan));
  sentences.say(slower_rates(plan));
  sentences.say(steady_shares(plan));
  sentences.say(least_bad(plan));
  sentences.say(cost(plan));
  sentences.say(blame(plan));
  sentences.say(frame_rate_rule(plan));
  sentences.say(advice::led_words(plan.lights));
  sentences.say(travel(plan));
  return std::move(sentences).said();
}

}  // namespace lampbeat
