#include "report/html/figures.hpp"

#include <fmt/format.h>

#include <cmath>
#include <cstdint>

#include "lampbeat/shot.hpp"
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

}  // namespace

std::string figure(std::string_view key, std::optional<double> value, std::string_view unit,
                   int significant) {
  if (!value || !std::isfinite(*value)) return absent;
  // Nobody reads a roll of 0.000000395 Hz; uncertainties ask for two digits and keep them all.
  const bool tiny = significant == 3 && *value != 0.0 && std::abs(*value) < 0.001;
  std::string shown = tiny ? std::string("under 0.001") : words::in_digits(*value, significant);
  if (!unit.empty()) shown += fmt::format("\u00A0{}", unit);
  return with_value(key, *value, shown);
}

std::string count_figure(std::string_view key, std::uint64_t count) {
  return fmt::format("<data value=\"{}\" title=\"{}\">{}</data>", count, words::as_markup(key),
                     count);
}

std::string fps_figure(std::string_view key, std::optional<double> fps) {
  if (!fps) return "<span class=\"absent\">none</span>";
  return with_value(key, *fps, words::in_digits_at_most(*fps, 5) + "\u00A0fps");
}

std::string exposure_figure(std::string_view key, std::optional<double> seconds) {
  if (!seconds) return "<span class=\"absent\">none</span>";
  return with_value(key, *seconds, *seconds > 0.0 ? exposure_label(*seconds) : "any");
}

std::string duration_figure(std::string_view key, std::optional<double> seconds) {
  if (!seconds) return absent;
  return with_value(key, *seconds, words::duration(*seconds));
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
