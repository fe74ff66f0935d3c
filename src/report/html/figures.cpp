#include "report/html/figures.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdint>

#include "lampbeat/shot.hpp"
#include "report/room_words.hpp"
#include "report/visibility_words.hpp"
#include "words/foreign_text.hpp"
#include "words/numbers.hpp"
#include "words/units.hpp"

namespace lampbeat::report::html {

namespace {

constexpr const char* absent = "<span class=\"absent\">not measured</span>";

std::string with_value(std::string_view key, double value, const std::string& shown) {
  return fmt::format("<data value=\"{}\" title=\"{}\">{}</data>", value, words::as_markup(key),
                     words::as_markup(shown));
}

/// A figure and its unit stay on one line.
std::string unbroken(std::string figure) {
  for (std::size_t at = 0; (at = figure.find(' ', at)) != std::string::npos;) {
    figure.replace(at, 1, "\u00A0");
  }
  return figure;
}

}  // namespace

std::string figure(std::string_view key, std::optional<double> value, std::string_view unit,
                   int significant) {
  if (!value || !std::isfinite(*value)) return absent;
  // Three digits of a percentage are those of every other page and screen.
  if (significant == 3 && unit.substr(0, 1) == "%") {
    return with_value(key, *value, unbroken(words::percent(*value)) + std::string(unit.substr(1)));
  }
  // Nobody reads a roll of 0.000000395 Hz; uncertainties ask for two digits and keep them all.
  const bool tiny = significant == 3 && *value != 0.0 && std::abs(*value) < 0.001;
  std::string shown = tiny ? std::string("under 0.001") : words::in_digits(*value, significant);
  if (!unit.empty()) shown += fmt::format("\u00A0{}", unit);
  return with_value(key, *value, shown);
}

std::string shown_figure(std::string_view key, std::optional<double> value,
                         const std::string& words) {
  if (!value || !std::isfinite(*value)) {
    return fmt::format("<span class=\"absent\">{}</span>", words::as_markup(words));
  }
  return with_value(key, *value, unbroken(words));
}

std::string rhythm_figure(std::string_view key, std::optional<double> hz) {
  if (!hz || !std::isfinite(*hz)) return absent;
  return with_value(key, *hz, unbroken(words::hertz(*hz)));
}

std::string visibility_figure(std::string_view key, double visibility) {
  return with_value(key, visibility, visibility_words(visibility) + "\u00A0×");
}

std::string count_figure(std::string_view key, std::uint64_t count) {
  return fmt::format("<data value=\"{}\" title=\"{}\">{}</data>", count, words::as_markup(key),
                     count);
}

std::string fps_figure(std::string_view key, std::span<const FrameRate> rates) {
  if (rates.empty()) return "<span class=\"absent\">none</span>";
  std::string labels;
  for (const FrameRate fps : rates) labels += (labels.empty() ? "" : ", ") + frame_rate_label(fps);
  // A long list may break where a figure may not.
  return "<span class=\"list\">" + with_value(key, rates.back().per_s(), labels + "\u00A0fps") +
         "</span>";
}

std::string clean_stops_figure(std::string_view key, double stops) {
  return with_value(key, stops, words::clean_stops(stops));
}

std::string exposure_figure(std::string_view key, std::optional<double> seconds) {
  if (!seconds) return "<span class=\"absent\">none</span>";
  return with_value(key, *seconds, *seconds > 0.0 ? exposure_label(*seconds) : "any");
}

std::string duration_figure(std::string_view key, std::optional<double> seconds) {
  if (!seconds) return absent;
  return with_value(key, *seconds, words::duration(*seconds));
}

std::string share_figure(std::string_view key, double share) {
  return with_value(key, share, unbroken(words::percent(100.0 * share)));
}

std::string lux_figure(std::string_view key, double lux) {
  return with_value(key, lux, unbroken(lux_words(lux)));
}

std::string bar(std::optional<double> percent) {
  if (!percent) return {};
  return fmt::format(
      "<svg class=\"bar\" viewBox=\"0 0 100 8\" preserveAspectRatio=\"none\" aria-hidden=\"true\" "
      "focusable=\"false\"><rect class=\"bar-ground\" width=\"100\" height=\"8\"/><rect "
      "class=\"bar-fill\" width=\"{:.1f}\" height=\"8\"/></svg>",
      std::clamp(*percent, 0.0, 100.0));
}

std::string readout_words(double readout_s) {
  return readout_s > 0.0 ? words::duration(readout_s) : "global shutter";
}

std::string base64(std::string_view bytes) {
  constexpr std::string_view digits =
      "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  std::string text;
  text.reserve((bytes.size() + 2) / 3 * 4);
  for (std::size_t i = 0; i < bytes.size(); i += 3) {
    const auto byte = [&](std::size_t k) {
      return k < bytes.size() ? static_cast<std::uint32_t>(static_cast<unsigned char>(bytes[k]))
                              : 0U;
    };
    const std::uint32_t three = (byte(i) << 16) | (byte(i + 1) << 8) | byte(i + 2);
    text += digits[three >> 18];
    text += digits[(three >> 12) & 63U];
    text += i + 1 < bytes.size() ? digits[(three >> 6) & 63U] : '=';
    text += i + 2 < bytes.size() ? digits[three & 63U] : '=';
  }
  return text;
}

}  // namespace lampbeat::report::html
