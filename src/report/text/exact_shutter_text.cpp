#include "report/text/exact_shutter_text.hpp"

#include <fmt/format.h>

#include <cmath>

#include "words/numbers.hpp"

namespace lampbeat::report::text {

namespace {

/// Ends of a range of exposures are told inside of it.
std::string clean_range(const Setting& s) {
  const ShutterNotation notation = shutter_notation(s.label).value_or(ShutterNotation::fraction);
  const double from_s = s.clean_from_s.value_or(s.exposure_s);
  const double to_s = s.clean_to_s.value_or(s.exposure_s);
  const bool to_the_frame = to_s >= s.fps.frame_s() * (1.0 - 1e-9);
  if (from_s == 0.0 && to_the_frame) return "and so is any other value";
  const std::string from =
      shutter_label(from_s > 0.0 ? from_s : s.exposure_s, s.fps, notation, LabelRounding::longer);
  const std::string to = shutter_label(to_s, s.fps, notation, LabelRounding::shorter);
  if (from_s == 0.0) return fmt::format("and so is anything shorter than {}", to);
  if (to_the_frame) return fmt::format("and so is anything from {} to the whole frame", from);
  return fmt::format("and stays so from {} to {}", from, to);
}

std::string stop_words(const ExactShutter& exact) {
  if (!exact.dial) return "";
  const Setting& stop = *exact.dial;
  constexpr double same = 2e-5;  // one dial position under two names, as plans count them
  if (std::abs(stop.exposure_s / exact.best.exposure_s - 1.0) < same) {
    return "; it is a stop of an ordinary dial";
  }
  const bool alike = stop.worst.verdict == exact.best.worst.verdict;
  return fmt::format("; the nearest stop of an ordinary dial, {}, is {}{}", stop.label,
                     verdict_word(stop.worst.verdict), alike ? " too" : "");
}

}  // namespace

std::vector<std::string> exact_shutters(const ShutterPlan& plan) {
  std::vector<std::string> sentences;
  for (const FrameRateOutlook& o : plan.outlooks) {
    if (!o.exact) continue;
    const Setting& best = o.exact->best;
    const std::string what = is_clean(best.worst)
                                 ? fmt::format("{} is clean, {}", best.label, clean_range(best))
                                 : fmt::format("no value is clean; {} is listed first, and is {}",
                                               best.label, verdict_word(best.worst.verdict));
    sentences.push_back(
        fmt::format("{} fps: {}{}.", frame_rate_label(o.fps), what, stop_words(*o.exact)));
  }
  return sentences;
}

std::vector<std::string> while_clocks_hold(const ShutterPlan& plan) {
  std::vector<std::string> sentences;
  for (const FrameRateOutlook& o : plan.outlooks) {
    if (!o.while_clock_holds || !o.while_clock_holds->clock_margin_percent) continue;
    const Setting& s = *o.while_clock_holds;
    sentences.push_back(fmt::format(
        "{} fps: {} is clean only while the light's own clock stays within ±{} % of what it was. "
        "It may be {} % off, and then {} is {}.",
        frame_rate_label(o.fps), s.label, words::in_digits(*s.clock_margin_percent, 2),
        words::in_digits_at_most(plan.clock_tolerance_percent.value_or(0.0), 2), s.label,
        verdict_word(s.worst.verdict)));
  }
  return sentences;
}

}  // namespace lampbeat::report::text
