#pragma once

#include <CLI/CLI.hpp>
#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace lampbeat::cli {

/// What may stand behind a number: "120Hz", "48 kHz", "5 %", "500ms".
enum class Unit { none, hertz, percent, seconds };

/// A finite number as people write it: with or without its unit, with a decimal comma. Empty for
/// anything else, and where a comma may as well part thousands.
std::optional<double> number_from(std::string_view text, Unit unit = Unit::none);

/// Throws UsageError where a list of frame rates holds "29", "97", which is 29.97 by a comma.
void refuse_decimal_commas(const std::vector<std::string>& frame_rates);

/// Lets the option's number be written as people do.
CLI::Option* take_written(CLI::Option* option, Unit unit);

/// A validator that explains itself: "expected a positive number of hertz, got '1ms'".
CLI::Validator number_between(double low, double high, const std::string& what);
/// Greater than zero.
CLI::Validator positive(const std::string& what);

/// Adds an optional number: `--mains HZ  text`. `unit` is what the help shows, and what may stand
/// behind the number.
CLI::Option* add_number(CLI::App& command, const std::string& name, std::optional<double>& target,
                        const std::string& unit, const std::string& help);

}  // namespace lampbeat::cli
