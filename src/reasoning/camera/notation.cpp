#include "reasoning/camera/notation.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cstdint>
#include <numeric>
#include <string>
#include <utility>

#include "words/number_reader.hpp"

namespace lampbeat::reasoning::camera {

namespace {

/// Rates that exist in an exact and a 1000/1001 form.
constexpr std::array<std::int64_t, 8> paired_rates = {24, 30, 48, 60, 96, 120, 240, 480};

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

/// "29.97" -> {2997, 2}: the digits without the point, and how many stand behind it.
std::optional<std::pair<std::int64_t, int>> digits_and_places(std::string_view text) {
  const std::size_t point = text.find_first_of(".,");
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

/// As programs print small numbers: "7.15e-05".
std::optional<double> with_power_of_ten(std::string_view text) {
  text = trimmed(text);
  if (text.size() > 32 || text.find_first_of("eE") == std::string_view::npos ||
      text.find_first_not_of("-+eE0123456789.") != std::string_view::npos) {
    return std::nullopt;
  }
  return words::finite_number_in(text);
}

std::optional<double> seconds_number(std::string_view text, ThreeBehindComma three) {
  const auto number = with_power_of_ten(text);
  return number ? number : decimal_from(text, three);
}

}  // namespace

std::string_view trimmed(std::string_view text) {
  while (!text.empty() && (text.front() == ' ' || text.front() == '\t')) text.remove_prefix(1);
  while (!text.empty() && (text.back() == ' ' || text.back() == '\t')) text.remove_suffix(1);
  return text;
}

bool take_ending(std::string_view& text, std::string_view ending) {
  const auto small = [](char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  };
  if (text.size() < ending.size() ||
      !std::equal(ending.begin(), ending.end(),
                  text.end() - static_cast<std::ptrdiff_t>(ending.size()),
                  [&](char wanted, char c) { return wanted == small(c); })) {
    return false;
  }
  text = trimmed(text.substr(0, text.size() - ending.size()));
  return true;
}

std::optional<double> decimal_from(std::string_view text, ThreeBehindComma three) {
  text = trimmed(text);
  if (text.empty() || text.size() > 32 ||
      text.find_first_not_of("-0123456789.,") != std::string_view::npos) {
    return std::nullopt;
  }
  const std::size_t comma = text.find(',');
  if (comma == std::string_view::npos) return words::number_in(text);
  constexpr std::size_t group = 3;
  const bool may_part_thousands = text.size() - comma - 1 == group && text.substr(0, comma) != "0";
  if (may_part_thousands && three == ThreeBehindComma::unclear) return std::nullopt;
  return words::number_in(text, ',');
}

FrameRate reduced(FrameRate fps) {
  const std::int64_t common = std::max<std::int64_t>(1, std::gcd(fps.numerator, fps.denominator));
  return {fps.numerator / common, fps.denominator / common};
}

std::optional<FrameRate> frame_rate_from(std::string_view text) {
  if (!take_ending(text, "fps")) take_ending(text, "p");
  if (const std::size_t slash = text.find('/'); slash != std::string_view::npos) {
    const auto above = whole(text.substr(0, slash));
    const auto below = whole(text.substr(slash + 1));
    if (!above || !below || *above == 0 || *below == 0) return std::nullopt;
    return reduced({*above, *below});
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
        return reduced({rate * 1000, 1001});
      }
    }
  }
  constexpr int group = 3;
  const bool may_be_thousands = places == group && text.find(',') != std::string_view::npos;
  return may_be_thousands ? std::nullopt : std::optional(reduced({digits, scale}));
}

std::optional<double> seconds_from(std::string_view text) {
  // The micro sign and the Greek letter look the same and are both in use.
  struct SmallUnit {
    std::string_view ending;
    double size;
    ThreeBehindComma three;  // no row is exposed or read for thousands of milliseconds
  };
  constexpr std::array small_units = {SmallUnit{"ms", 1e-3, ThreeBehindComma::decimals},
                                      SmallUnit{"msec", 1e-3, ThreeBehindComma::decimals},
                                      SmallUnit{"us", 1e-6, ThreeBehindComma::unclear},
                                      SmallUnit{"\u00b5s", 1e-6, ThreeBehindComma::unclear},
                                      SmallUnit{"\u03bcs", 1e-6, ThreeBehindComma::unclear}};
  for (const SmallUnit& unit : small_units) {
    if (take_ending(text, unit.ending)) {
      const auto number = seconds_number(text, unit.three);
      if (!number) return std::nullopt;
      return *number * unit.size;
    }
  }
  const bool has_unit =
      take_ending(text, "seconds") || take_ending(text, "sec") || take_ending(text, "s");
  if (const std::size_t slash = text.find('/'); slash != std::string_view::npos) {
    const auto above = decimal_from(text.substr(0, slash));
    const auto below = decimal_from(text.substr(slash + 1));
    if (!above || !below || !(*below > 0.0)) return std::nullopt;
    return *above / *below;
  }
  if (!has_unit) return std::nullopt;
  return seconds_number(text, ThreeBehindComma::decimals);
}

}  // namespace lampbeat::reasoning::camera
