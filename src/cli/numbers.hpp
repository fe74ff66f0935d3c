#pragma once

#include <CLI/CLI.hpp>
#include <limits>
#include <optional>
#include <string>

namespace lampbeat::cli {

/// A validator that explains itself: "expected a positive number of hertz, got '1ms'".
CLI::Validator number_between(double low, double high, const std::string& what);
/// Greater than zero.
CLI::Validator positive(const std::string& what);

/// Adds an optional number: `--mains HZ  text`. `unit` is what the help shows.
CLI::Option* add_number(CLI::App& command, const std::string& name, std::optional<double>& target,
                        const std::string& unit, const std::string& help);

}  // namespace lampbeat::cli
