#include "records/line_keys.hpp"

#include <fmt/format.h>

#include <array>

#include "lampbeat/error.hpp"
#include "words/foreign_text.hpp"

namespace lampbeat::records {

using files::json::Json;

namespace {

[[noreturn]] void refuse(const std::string& why) {
  throw InputError(why + "; expected a line as lampbeat writes it");
}

}  // namespace

bool has(const Json& object, const char* key) {
  return object.is_object() && object.contains(key) && !object[key].is_null();
}

std::optional<double> number(const Json& object, const char* key, double low, double high) {
  if (!has(object, key)) return std::nullopt;
  if (!object[key].is_number()) refuse(fmt::format("\"{}\" should be a number or null", key));
  const double value = object[key].get<double>();
  if (!(value >= low && value <= high)) {
    refuse(fmt::format("\"{}\" is {}, outside {} ... {}", key, value, low, high));
  }
  return value;
}

std::string text(const Json& object, const char* key) {
  if (!has(object, key)) return {};
  if (!object[key].is_string()) refuse(fmt::format("\"{}\" should be text", key));
  return object[key].get<std::string>();
}

bool yes(const Json& object, const char* key) {
  return has(object, key) && object[key].is_boolean() && object[key].get<bool>();
}

std::optional<Verdict> verdict_in(const Json& document) {
  const std::string word = text(document, "verdict");
  if (word.empty()) return std::nullopt;
  constexpr std::array all = {Verdict::clean, Verdict::borderline, Verdict::visible,
                              Verdict::strong};
  for (const Verdict verdict : all) {
    if (word == verdict_word(verdict)) return verdict;
  }
  refuse(fmt::format("no verdict is {}", words::quoted(word)));
}

std::optional<int> version_in(const Json& object) {
  const auto by = number(object, "measurement_version", 1.0, 1e6);
  return by ? std::optional(static_cast<int>(*by)) : std::nullopt;
}

}  // namespace lampbeat::records
