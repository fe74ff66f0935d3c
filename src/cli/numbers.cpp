#include "cli/numbers.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>

#include "lampbeat/error.hpp"
#include "lampbeat/shot.hpp"
#include "words/characters.hpp"
#include "words/foreign_text.hpp"
#include "words/number_reader.hpp"

namespace lampbeat::cli {

namespace {

struct Ending {
  Unit unit;
  std::string_view letters;
  double size;
};

constexpr std::array endings = {
    Ending{Unit::hertz, "khz", 1e3},   Ending{Unit::hertz, "hz", 1.0},
    Ending{Unit::percent, "%", 1.0},   Ending{Unit::seconds, "ms", 1e-3},
    Ending{Unit::seconds, "sec", 1.0}, Ending{Unit::seconds, "s", 1.0}};

/// "0,5" and "59,94" are decimals; "1,000" may be a thousand.
std::optional<double> decimal(std::string_view text) {
  const std::size_t comma = text.find(',');
  if (comma == std::string_view::npos) return words::finite_number_in(text);
  constexpr std::size_t group = 3;
  const bool may_part_thousands = text.size() - comma - 1 == group && text.substr(0, comma) != "0";
  if (may_part_thousands || text.find_first_of(".eE") != std::string_view::npos) {
    return std::nullopt;
  }
  const auto number = words::number_in(text, ',');
  return number && std::isfinite(*number) ? number : std::nullopt;
}

/// Of what the help shows: "HZ", "50|60|HZ", "PERCENT", "S".
Unit unit_shown(std::string_view shown) {
  if (shown.ends_with("HZ")) return Unit::hertz;
  if (shown == "PERCENT") return Unit::percent;
  return shown == "S" ? Unit::seconds : Unit::none;
}

/// Where a comma leaves it open what was meant.
std::string comma_hint(const std::string& text) {
  return text.find(',') != std::string::npos ? "; write decimals with a point" : "";
}

}  // namespace

std::optional<double> number_from(std::string_view text, Unit unit) {
  const std::string small = words::small_letters(text.substr(text.starts_with('+') ? 1 : 0));
  std::string_view rest = small;
  double size = 1.0;
  for (const Ending& ending : endings) {
    if (ending.unit != unit || !rest.ends_with(ending.letters)) continue;
    rest.remove_suffix(ending.letters.size());
    while (rest.ends_with(' ')) rest.remove_suffix(1);
    size = ending.size;
    break;
  }
  const auto number = decimal(rest);
  return number ? std::optional(size * *number) : std::nullopt;
}

void refuse_decimal_commas(const std::vector<std::string>& frame_rates) {
  const auto whole = [](const std::string& text) {
    return !text.empty() && std::all_of(text.begin(), text.end(), words::is_digit);
  };
  constexpr std::int64_t of_decimals = 1001;  // only customary decimals are such rates
  for (std::size_t i = 1; i < frame_rates.size(); ++i) {
    const std::string& before = frame_rates[i - 1];
    const std::string& after = frame_rates[i];
    if (!whole(before) || !whole(after)) continue;
    const std::string pointed = fmt::format("{}.{}", before, after);
    if (after.size() < 2 || after.size() > 3 ||
        parse_frame_rate(pointed).denominator != of_decimals) {
      continue;
    }
    throw UsageError(fmt::format("--fps {},{} is a list of two rates; write {} with a point",
                                 before, after, pointed));
  }
}

CLI::Option* take_written(CLI::Option* option, Unit unit) {
  return option->transform(CLI::Validator(
      [unit](std::string& text) -> std::string {
        if (const auto value = number_from(text, unit)) text = fmt::format("{}", *value);
        return "";  // what is no number is complained of where it is checked
      },
      ""));
}

CLI::Validator number_between(double low, double high, const std::string& what) {
  return CLI::Validator(
      [=](std::string& text) -> std::string {
        const auto value = number_from(text);
        if (value && *value >= low && *value <= high) return "";
        return fmt::format("expected {}, between {:g} and {:g}, got '{}'{}", what, low, high,
                           words::excerpt(text), comma_hint(text));
      },
      "");
}

CLI::Validator positive(const std::string& what) {
  return CLI::Validator(
      [=](std::string& text) -> std::string {
        const auto value = number_from(text);
        if (value && *value > 0.0) return "";
        return fmt::format("expected {} above zero, got '{}'{}", what, words::excerpt(text),
                           comma_hint(text));
      },
      "");
}

CLI::Option* add_number(CLI::App& command, const std::string& name, std::optional<double>& target,
                        const std::string& unit, const std::string& help) {
  return take_written(command.add_option(name, target, help)->type_name(unit), unit_shown(unit));
}

}  // namespace lampbeat::cli
