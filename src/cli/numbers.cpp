#include "cli/numbers.hpp"

#include <fmt/format.h>

#include <charconv>
#include <cmath>

#include "words/foreign_text.hpp"

namespace lampbeat::cli {

namespace {

std::optional<double> read(const std::string& text) {
  double value = 0.0;
  const char* first = text.data() + (text.rfind('+', 0) == 0 ? 1 : 0);
  const auto [end, error] = std::from_chars(first, text.data() + text.size(), value);
  if (error != std::errc{} || end != text.data() + text.size() || !std::isfinite(value)) return {};
  return value;
}

}  // namespace

CLI::Validator number_between(double low, double high, const std::string& what) {
  return CLI::Validator(
      [=](std::string& text) -> std::string {
        const auto value = read(text);
        if (value && *value >= low && *value <= high) return "";
        return fmt::format("expected {}, between {:g} and {:g}, got '{}'", what, low, high,
                           words::excerpt(text));
      },
      "");
}

CLI::Validator positive(const std::string& what) {
  return CLI::Validator(
      [=](std::string& text) -> std::string {
        const auto value = read(text);
        if (value && *value > 0.0) return "";
        return fmt::format("expected {} above zero, got '{}'", what, words::excerpt(text));
      },
      "");
}

CLI::Option* add_number(CLI::App& command, const std::string& name, std::optional<double>& target,
                        const std::string& unit, const std::string& help) {
  return command.add_option(name, target, help)->type_name(unit);
}

}  // namespace lampbeat::cli
