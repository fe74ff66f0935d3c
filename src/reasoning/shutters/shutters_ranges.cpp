#include "reasoning/shutters/shutters_ranges.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "lampbeat/error.hpp"
#include "reasoning/camera/fits.hpp"
#include "reasoning/camera/notation.hpp"
#include "words/foreign_text.hpp"
#include "words/numbers.hpp"

namespace lampbeat::reasoning::shutters {

namespace {

constexpr int most_places = 6;
constexpr double most_units = 1e9;  // an end in microseconds is a thousand seconds

constexpr std::array<std::string_view, 3> degrees = {"degrees", "deg", "\u00b0"};
constexpr std::array<std::pair<std::string_view, double>, 5> times = {
    {{"ms", 1e-3}, {"us", 1e-6}, {"\u00b5s", 1e-6}, {"\u03bcs", 1e-6}, {"s", 1.0}}};

[[noreturn]] void refuse_range(std::string_view text, const std::string& why) {
  throw UsageError(fmt::format(
      "'{}' is no range of shutters: {}. Write 1/24..1/2000:0.1 (in steps of the denominator), "
      "11.2deg..360deg:0.1 or 0.5ms..40ms:0.01, or any for a shutter set continuously",
      words::excerpt(text), why));
}

/// One end of a range: the number on the dial, and what kind of number it is.
struct End {
  ShutterNotation notation = ShutterNotation::time;
  std::string unit;
  double unit_s = 1.0;
  std::string_view number;
};

std::optional<End> end_from(std::string_view text) {
  using camera::take_ending;
  std::string_view rest = camera::trimmed(text);
  for (const std::string_view ending : degrees) {
    if (take_ending(rest, ending)) return End{ShutterNotation::angle, "", 1.0, rest};
  }
  if (rest.starts_with("1/")) {
    take_ending(rest, "s");
    return End{ShutterNotation::fraction, "", 1.0, camera::trimmed(rest.substr(2))};
  }
  for (const auto& [unit, unit_s] : times) {
    if (take_ending(rest, unit)) return End{ShutterNotation::time, std::string(unit), unit_s, rest};
  }
  return std::nullopt;
}

int places_of(std::string_view number) {
  const std::size_t point = number.find('.');
  return point == std::string_view::npos ? 0 : static_cast<int>(number.size() - point - 1);
}

double units_in_one(int places) { return std::pow(10.0, places); }

/// A number above 0 in units of its last place.
std::int64_t whole_units(std::string_view text, std::string_view number, int places) {
  const std::optional<double> value = camera::decimal_from(number);
  if (!value) refuse_range(text, fmt::format("'{}' is no number", words::excerpt(number)));
  if (!(*value > 0.0)) refuse_range(text, "its ends and its step have to be above 0");
  if (places > most_places || *value > most_units) {
    refuse_range(text, "no shutter is set to so many digits");
  }
  return std::llround(*value * units_in_one(places));
}

Range any_exposure() {
  Range range;
  range.places = 2;
  range.shortest = 10000000000;  // 1/100000000 s, below anything `least_deg` leaves
  range.step = -1;
  range.last = range.shortest - 100;  // 1 s, the longest frame
  range.least_deg = darkest_deg;
  return range;
}

}  // namespace

std::optional<Range> range_from(std::string_view text) {
  const std::string_view whole = camera::trimmed(text);
  if (whole == "any") return any_exposure();
  const std::size_t dots = whole.find("..");
  if (dots == std::string_view::npos) return std::nullopt;
  const std::size_t colon = whole.find(':', dots);
  const std::optional<End> first = end_from(whole.substr(0, dots));
  const std::optional<End> second =
      end_from(whole.substr(dots + 2, colon == std::string_view::npos ? colon : colon - dots - 2));
  if (!first || !second) refuse_range(text, "each end is a shutter such as 1/24, 180deg or 20ms");
  if (first->notation != second->notation || first->unit_s != second->unit_s) {
    refuse_range(text, "both ends have to be written alike");
  }
  std::string_view step = "0.01";
  if (colon != std::string_view::npos) {
    step = camera::trimmed(whole.substr(colon + 1));
    if (const std::optional<End> with_unit = end_from(step);
        with_unit && with_unit->notation == first->notation && with_unit->unit_s == first->unit_s) {
      step = with_unit->number;
    }
  }
  Range range;
  range.notation = first->notation;
  range.unit = first->unit;
  range.unit_s = first->unit_s;
  range.places = std::max({places_of(first->number), places_of(second->number), places_of(step)});
  const std::int64_t from = whole_units(text, first->number, range.places);
  const std::int64_t to = whole_units(text, second->number, range.places);
  const std::int64_t size = whole_units(text, step, range.places);
  if (size == 0) refuse_range(text, "its step has to be above 0");
  const std::int64_t steps = std::abs(to - from) / size;
  const std::int64_t last = from + (to > from ? steps : -steps) * size;
  const bool in_denominators = range.notation == ShutterNotation::fraction;
  range.shortest = in_denominators ? std::max(from, last) : std::min(from, last);
  range.step = in_denominators ? -size : size;
  range.last = steps;
  return range;
}

}  // namespace lampbeat::reasoning::shutters

namespace lampbeat {

bool is_shutter_range(std::string_view text) {
  return reasoning::shutters::range_from(text).has_value();
}

}  // namespace lampbeat

namespace lampbeat::reasoning::shutters {

double exposure_at(const Range& range, std::int64_t point, FrameRate fps) {
  const double written =
      static_cast<double>(range.shortest + point * range.step) / units_in_one(range.places);
  double exposure_s = written * range.unit_s;
  if (range.notation == ShutterNotation::fraction) exposure_s = 1.0 / written;
  if (range.notation == ShutterNotation::angle) exposure_s = written / 360.0 * fps.frame_s();
  return camera::fits(exposure_s, fps) ? std::min(exposure_s, fps.frame_s()) : exposure_s;
}

std::string label_at(const Range& range, std::int64_t point) {
  const double written =
      static_cast<double>(range.shortest + point * range.step) / units_in_one(range.places);
  const std::string number = words::in_decimals_at_most(written, range.places);
  if (range.notation == ShutterNotation::fraction) return "1/" + number;
  if (range.notation == ShutterNotation::angle) return number + "\u00b0";
  return number + " " + range.unit;
}

std::int64_t last_within(const Range& range, double exposure_s, FrameRate fps) {
  constexpr double rounding = 1.0 + 1e-12;
  double written = exposure_s / range.unit_s;
  if (range.notation == ShutterNotation::fraction) written = 1.0 / exposure_s;
  if (range.notation == ShutterNotation::angle) written = shutter_angle_deg(exposure_s, fps);
  const double place =
      (written * units_in_one(range.places) - static_cast<double>(range.shortest)) /
      static_cast<double>(range.step);
  if (place < -1.0) return -1;
  if (place >= static_cast<double>(range.last)) return range.last;
  // The arithmetic may be off by a rounding error beside a point.
  auto point = static_cast<std::int64_t>(std::floor(place));
  const auto fits = [&](std::int64_t i) {
    return exposure_at(range, i, fps) <= exposure_s * rounding;
  };
  if (point < range.last && fits(point + 1)) ++point;
  if (point >= 0 && !fits(point)) --point;
  return point;
}

}  // namespace lampbeat::reasoning::shutters
