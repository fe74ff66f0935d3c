#include "cli/numbers.hpp"

#include <fmt/format.h>

#include <string_view>

#include "words/foreign_text.hpp"
#include "words/number_reader.hpp"

namespace lampbeat::cli {

namespace {

std::optional<double> read(const std::string& text) {
  return words::finite_number_in(std::string_view(text).substr(text.starts_with('+') ? 1 : 0));
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
