#include "lampbeat/shot.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <numeric>
#include <optional>
#include <string>
#include <utility>

#include "lampbeat/error.hpp"
#include "words/foreign_text.hpp"
#include "words/number_reader.hpp"
#include "words/numbers.hpp"

namespace lampbeat {

namespace {

/// Rates that exist in an exact and a 1000/1001 form.
constexpr std::array<std::int64_t, 8> paired_rates = {24, 30, 48, 60, 96, 120, 240, 480};

/// An exposure written with few digits may come out this much longer than the frame it names.
constexpr double rounding_allowance = 5e-4;

std::string_view trimmed(std::string_view text) {
  while (!text.empty() && (text.front() == ' ' || text.front() == '\t')) text.remove_prefix(1);
  while (!text.empty() && (text.back() == ' ' || text.back() == '\t')) text.remove_suffix(1);
  return text;
}

/// Takes `ending` off the end of `text`; false when it is not there.
bool take_ending(std::string_view& text, std::string_view ending) {
  if (text.size() < ending.size() || text.substr(text.size() - ending.size()) != ending) {
    return false;
  }
  text = trimmed(text.substr(0, text.size() - ending.size()));
  return true;
}

/// A plain decimal number: digits and at most one point, no exponent, no "nan" and no "inf".
std::optional<double> decimal(std::string_view text) {
  text = trimmed(text);
  if (text.empty() || text.size() > 32 ||
      text.find_first_not_of("-0123456789.") != std::string_view::npos) {
    return std::nullopt;
  }
  return words::number_in(text);
}

std::optional<std::int64_t> whole(std::string_view text) {
  text = trimmed(text);
  if (text.empty() || text.size() > 12 ||
      text.find_first_not_of("0123456789") != std::string_view::npos) {
    return std::nullopt;
  }
  std::int64_t value = 0;
  std::from_chars(text.data(), text.data() + text.size(), value);
  return value;
}

FrameRate reduced(std::int64_t numerator, std::int64_t denominator) {
  const std::int64_t common = std::max<std::int64_t>(1, std::gcd(numerator, denominator));
  return {numerator / common, denominator / common};
}

/// "29.97" -> {2997, 2}: the digits without the point, and how many stand behind it.
std::optional<std::pair<std::int64_t, int>> digits_and_places(std::string_view text) {
  const std::size_t point = text.find('.');
  if (point == std::string_view::npos) {
    const auto number = whole(text);
    if (!number) return std::nullopt;
    return std::pair{*number, 0};
  }
  const std::string_view behind = text.substr(point + 1);
  if (behind.size() > 6) return std::nullopt;
  const auto number = whole(std::string(text.substr(0, point)) + std::string(behind));
  if (!number) return std::nullopt;
  return std::pair{*number, static_cast<int>(behind.size())};
}

std::optional<FrameRate> frame_rate_from(std::string_view text) {
  if (const std::size_t slash = text.find('/'); slash != std::string_view::npos) {
    const auto above = whole(text.substr(0, slash));
    const auto below = whole(text.substr(slash + 1));
    if (!above || !below || *above == 0 || *below == 0) return std::nullopt;
    return reduced(*above, *below);
  }
  const auto number = digits_and_places(text);
  if (!number || number->first == 0) return std::nullopt;
  const auto [digits, places] = *number;
  std::int64_t scale = 1;
  for (int i = 0; i < places; ++i) scale *= 10;
  // Two or more decimals that are a 1000/1001 rate rounded to them mean that rate.
  if (places >= 2) {
    for (const std::int64_t rate : paired_rates) {
      if ((2 * rate * 1000 * scale + 1001) / (2 * 1001) == digits) {
        return reduced(rate * 1000, 1001);
      }
    }
  }
  return reduced(digits, scale);
}

/// Seconds from "1/60", "16.7ms", "500us", "0.02s"; nothing for any other form.
std::optional<double> seconds_from(std::string_view text) {
  // The micro sign and the Greek letter look the same and are both in use.
  constexpr std::array<std::pair<std::string_view, double>, 4> small_units = {
      {{"ms", 1e-3}, {"us", 1e-6}, {"\u00b5s", 1e-6}, {"\u03bcs", 1e-6}}};
  for (const auto& [unit, size] : small_units) {
    if (take_ending(text, unit)) {
      const auto number = decimal(text);
      if (!number) return std::nullopt;
      return *number * size;
    }
  }
  const bool has_unit = take_ending(text, "s");
  if (const std::size_t slash = text.find('/'); slash != std::string_view::npos) {
    const auto above = decimal(text.substr(0, slash));
    const auto below = decimal(text.substr(slash + 1));
    if (!above || !below || !(*below > 0.0)) return std::nullopt;
    return *above / *below;
  }
  if (!has_unit) return std::nullopt;
  return decimal(text);
}

/// For messages: never the whole of a hostile argument.
std::string quoted(std::string_view text) { return "'" + words::excerpt(text) + "'"; }

}  // namespace

bool operator==(FrameRate a, FrameRate b) {
  a = reduced(a.numerator, a.denominator);
  b = reduced(b.numerator, b.denominator);
  return a.numerator == b.numerator && a.denominator == b.denominator;
}

FrameRate parse_frame_rate(std::string_view text) {
  const auto rate = frame_rate_from(trimmed(text));
  if (!rate) {
    throw UsageError(
        fmt::format("a frame rate is written like 24, 29.97 or 30000/1001, not {}", quoted(text)));
  }
  if (!(rate->per_s() >= 1.0 && rate->per_s() <= 100000.0)) {
    throw UsageError(
        fmt::format("a frame rate lies between 1 and 100000 frames per second; {} "
                    "does not",
                    quoted(text)));
  }
  return *rate;
}

double parse_exposure_s(std::string_view text, FrameRate fps) {
  std::string_view rest = trimmed(text);
  const double frame_s = fps.frame_s();
  std::optional<double> exposure_s;
  if (take_ending(rest, "degrees") || take_ending(rest, "deg") || take_ending(rest, "\u00b0")) {
    if (const auto angle = decimal(rest)) exposure_s = *angle / 360.0 * frame_s;
  } else {
    exposure_s = seconds_from(rest);
  }
  if (!exposure_s) {
    const std::string hint = decimal(rest) ? fmt::format(" (1/{0}, {0}ms or {0}deg?)", rest) : "";
    throw UsageError(
        fmt::format("a shutter is written like 1/60, 180deg, 16.7ms, 500us or 0.02s, not {}{}",
                    quoted(text), hint));
  }
  if (!(*exposure_s > 0.0)) {
    throw UsageError(
        fmt::format("the shutter {} leaves the row no time to collect light", quoted(text)));
  }
  if (*exposure_s > frame_s * (1.0 + rounding_allowance)) {
    throw UsageError(fmt::format(
        "the shutter {} is longer than one frame, which lasts {} ms at {} fps", quoted(text),
        words::in_decimals_at_most(1e3 * frame_s, 3), frame_rate_label(fps)));
  }
  return std::min(*exposure_s, frame_s);
}

double parse_readout_s(std::string_view text) {
  const std::string_view rest = trimmed(text);
  if (rest == "global" || rest == "0") return 0.0;
  const auto readout_s = seconds_from(rest);
  if (!readout_s) {
    throw UsageError(
        fmt::format("a readout time is written like 16ms, 1/60 or global, not {}", quoted(text)));
  }
  if (!(*readout_s >= 0.0 && *readout_s <= 1.0)) {
    throw UsageError(
        fmt::format("a readout time lies between 0 (global) and 1 s; {} does not", quoted(text)));
  }
  return *readout_s;
}

double shutter_angle_deg(double exposure_s, FrameRate fps) {
  return 360.0 * exposure_s * fps.per_s();
}

std::string frame_rate_label(FrameRate fps) {
  const double rate = fps.per_s();
  return words::in_decimals_at_most(rate, 3);
}

std::string exposure_label(double exposure_s) {
  const double inverse = 1.0 / exposure_s;
  // Menus show whole numbers: 1/60 s and 1/59.998 s are the same dial position.
  if (inverse >= 1.5 && std::abs(inverse / std::round(inverse) - 1.0) < 1e-4) {
    return fmt::format("1/{:.0f}", inverse);
  }
  if (exposure_s >= 0.4) return words::in_decimals_at_most(exposure_s, 2) + " s";
  if (exposure_s >= 1e-3) return words::in_decimals_at_most(1e3 * exposure_s, 2) + " ms";
  return words::in_decimals_at_most(1e6 * exposure_s, 1) + " \u00b5s";
}

}  // namespace lampbeat
