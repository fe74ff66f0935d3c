#include "lampbeat/shot.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>

#include "lampbeat/error.hpp"
#include "reasoning/camera/notation.hpp"
#include "words/foreign_text.hpp"
#include "words/numbers.hpp"

namespace lampbeat {

namespace {

using namespace reasoning::camera;

/// An exposure written with few digits may come out this much longer than the frame it names:
/// "41.7ms" of 41.667 is by 8e-4 too long, "41.68ms" by 3e-4.
constexpr double rounding_allowance = 5e-4;

/// For messages: never the whole of a hostile argument.
std::string quoted(std::string_view text) { return "'" + words::excerpt(text) + "'"; }

/// Interlaced video, "50i", counts fields.
std::string frame_rate_hint(std::string_view text) {
  if (!take_ending(text, "i")) return "";
  const auto fields = frame_rate_from(text);
  if (!fields) return "";
  return fmt::format(" ({} for its frames, {} for its fields?)",
                     words::in_decimals_at_most(fields->per_s() / 2.0, 3),
                     words::in_decimals_at_most(fields->per_s(), 3));
}

/// What a bare number may have been meant as, with a point in it.
std::string with_point(std::string_view text) {
  std::string number(text);
  std::replace(number.begin(), number.end(), ',', '.');
  return number;
}

}  // namespace

bool operator==(FrameRate a, FrameRate b) {
  a = reduced(a);
  b = reduced(b);
  return a.numerator == b.numerator && a.denominator == b.denominator;
}

FrameRate parse_frame_rate(std::string_view text) {
  const auto rate = frame_rate_from(trimmed(text));
  if (!rate) {
    throw UsageError(fmt::format("a frame rate is written like 24, 29.97 or 30000/1001, not {}{}",
                                 quoted(text), frame_rate_hint(trimmed(text))));
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
  // The masculine ordinal is found on keyboards where the degree sign is not.
  if (take_ending(rest, "degrees") || take_ending(rest, "deg") || take_ending(rest, "\u00b0") ||
      take_ending(rest, "\u00ba")) {
    const auto angle = decimal_from(rest, ThreeBehindComma::decimals);
    if (angle) exposure_s = *angle / 360.0 * frame_s;
  } else {
    exposure_s = seconds_from(rest);
  }
  if (!exposure_s) {
    const std::string hint = decimal_from(rest, ThreeBehindComma::decimals)
                                 ? fmt::format(" (1/{0}, {0}ms or {0}deg?)", with_point(rest))
                                 : "";
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
        "the shutter {} is longer than one frame, which lasts {} ms at {} fps; give a shorter one, "
        "or a lower frame rate",
        quoted(text), words::in_decimals_at_most(1e3 * frame_s, 3), frame_rate_label(fps)));
  }
  return std::min(*exposure_s, frame_s);
}

double parse_readout_s(std::string_view text) {
  const std::string_view rest = trimmed(text);
  if (rest == "global" || rest == "0") return 0.0;
  const auto readout_s = seconds_from(rest);
  if (!readout_s) {
    const std::string hint = decimal_from(rest, ThreeBehindComma::decimals)
                                 ? fmt::format(" ({}ms?)", with_point(rest))
                                 : "";
    throw UsageError(fmt::format("a readout time is written like 16ms, 1/60 or global, not {}{}",
                                 quoted(text), hint));
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
