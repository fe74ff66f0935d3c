#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "lampbeat/frequency_light.hpp"
#include "lampbeat/text.hpp"
#include "lampbeat/text_style.hpp"
#include "report/text/exact_shutter_text.hpp"
#include "words/columns.hpp"
#include "words/lists.hpp"
#include "words/numbers.hpp"
#include "words/sections.hpp"
#include "words/units.hpp"
#include "words/wrapping.hpp"

namespace lampbeat {

namespace {

constexpr std::size_t columns_shown = 6;
using Cells = std::array<std::string, columns_shown>;

std::string list_of_rates(const ShutterPlan& plan, bool clean) {
  std::vector<std::string> rates;
  for (const FrameRateOutlook& o : plan.outlooks) {
    if (o.any_clean == clean) rates.push_back(frame_rate_label(o.fps));
  }
  return words::listed(rates);
}

/// Where a light is known by its frequency alone, none is clean for the shortest flashes, and the
/// first one still serves most lights.
std::string none_clean(const ShutterPlan& plan, const std::string& rates) {
  if (!some_by_frequency_alone(plan.lights) || plan.settings.empty() ||
      !is_clean(plan.settings.front().nominal)) {
    return fmt::format("No clean shutter at {} frames a second.", rates);
  }
  return fmt::format(
      "At {} frames a second no shutter is clean for every light of this frequency; "
      "whole cycles, such as {}, are for many.",
      rates, plan.settings.front().label);
}

std::string verdict(const ShutterPlan& plan) {
  const std::string clean = list_of_rates(plan, true);
  const std::string none = list_of_rates(plan, false);
  if (none.empty()) return fmt::format("Clean shutters exist at {} frames a second.", clean);
  if (clean.empty()) return none_clean(plan, none);
  return fmt::format("Clean shutters exist at {} frames a second, none at {}.", clean, none);
}

std::string light_words(double stops) {
  constexpr double no_stops = 0.05;  // rounds to none in the digit shown
  if (std::abs(stops) < no_stops) return "as 180°";
  return (stops < 0 ? "−" : "+") + words::stops(stops);
}

std::string drift_words(const Setting& s, const ShutterPlan& plan) {
  if (!(plan.mains_hz || plan.clock_tolerance_percent) || !is_clean(s.nominal)) {
    return "";
  }
  std::string words;
  if (s.mains_margin_hz) words = fmt::format("±{} Hz", words::in_digits(*s.mains_margin_hz, 2));
  if (s.clock_margin_percent) {
    words += fmt::format("{}±{} %", words.empty() ? "" : ", ",
                         words::in_digits(*s.clock_margin_percent, 2));
  }
  return words.empty() ? "any" : words;
}

Cells cells_of(const Setting& s, const ShutterPlan& plan) {
  const double worst = deeper_percent(s.worst);
  std::string label = s.label;
  if (label.find("°") == std::string::npos) {
    label += fmt::format("  ({}°)", words::in_digits_at_most(s.shutter_deg, 4));
  }
  return {label,
          verdict_word(s.worst.verdict),
          words::percent(worst),
          light_words(s.stops_from_180deg),
          fmt::format("{:.0f} %", 100.0 * s.blur_from_180deg),
          drift_words(s, plan)};
}

std::string laid_out(const Cells& cells, const std::array<int, columns_shown>& widths, int width) {
  std::string text = "  ";
  for (std::size_t i = 0; i < columns_shown; ++i) {
    if (words::columns(text) + widths[i] > width) break;
    text += words::padded(cells[i], widths[i]) + "   ";
  }
  text.erase(text.find_last_not_of(' ') + 1);
  return text + "\n";
}

std::size_t that_fit_a_screen(std::size_t frame_rates) {
  constexpr std::size_t lines = 18;  // of 24; the verdict and the advice take the rest
  return std::clamp<std::size_t>(lines / std::max<std::size_t>(frame_rates, 1), 2, 6);
}

}  // namespace

std::string to_text(const ShutterPlan& plan, const std::vector<std::string>& advice,
                    const TextStyle& style, std::optional<std::size_t> per_frame_rate) {
  const std::size_t most = per_frame_rate.value_or(that_fit_a_screen(plan.outlooks.size()));
  const Cells heading = {"shutter", "verdict", "ripple left", "light", "blur", "clocks may drift"};
  std::array<int, columns_shown> widths{};
  const auto widen = [&](const Cells& cells) {
    for (std::size_t i = 0; i < columns_shown; ++i) {
      widths[i] = std::max(widths[i], words::columns(cells[i]));
    }
  };
  widen(heading);
  std::vector<std::vector<Cells>> shown(plan.outlooks.size());
  std::size_t left_out = 0;
  for (std::size_t i = 0; i < plan.outlooks.size(); ++i) {
    for (const Setting& s : plan.settings) {
      if (s.fps != plan.outlooks[i].fps) continue;
      if (shown[i].size() == most) {
        ++left_out;
        continue;
      }
      shown[i].push_back(cells_of(s, plan));
      widen(shown[i].back());
    }
  }

  std::string result = words::bold(words::wrapped(verdict(plan), style.width), style) + "\n\n";
  result += laid_out(heading, widths, style.width);
  for (std::size_t i = 0; i < plan.outlooks.size(); ++i) {
    result += words::bold(frame_rate_label(plan.outlooks[i].fps) + " fps", style) + "\n";
    for (const Cells& cells : shown[i]) result += laid_out(cells, widths, style.width);
    if (shown[i].empty()) result += "  no shutter fits into a frame\n";
  }
  if (left_out > 0) result += fmt::format("{} more settings: --all\n", left_out);
  result += words::wrapped(
                "Verdict and ripple are for the worst that mains and lamp clocks may do; light and "
                "blur are compared with a 180° shutter.",
                style.width) +
            "\n";
  if (const auto exact = report::text::exact_shutters(plan); !exact.empty()) {
    result += "\n" + words::sentences("Set finely", exact, style);
  }
  if (const auto held = report::text::while_clocks_hold(plan); !held.empty()) {
    result += "\n" + words::sentences("Only while its clock holds", held, style);
  }
  if (!advice.empty()) {
    result += "\n" + words::sentences("What to do", advice, style);
  }
  if (!plan.findings.empty()) {
    result += "\n" + words::findings("What to know", plan.findings, style);
  }
  return result;
}

}  // namespace lampbeat
