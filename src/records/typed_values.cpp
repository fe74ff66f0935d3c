#include "records/typed_values.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "lampbeat/error.hpp"
#include "words/foreign_text.hpp"
#include "words/spelling.hpp"

namespace lampbeat::records {

namespace {

constexpr std::size_t longest_text = 200;
/// No position in a room and no direction has larger numbers.
constexpr double largest_part = 1e6;

}  // namespace

void TypedValues::refuse(const std::string& why) const {
  throw InputError(fmt::format("{}: {}", path_, why));
}

bool TypedValues::has(const Json& object, const char* key) {
  return object.contains(key) && !object[key].is_null();
}

std::string TypedValues::text(const Json& object, const std::string& where, const char* key) const {
  if (!has(object, key) || !object[key].is_string()) {
    refuse(fmt::format("{}\"{}\" should be text", where, key));
  }
  const std::string value = object[key].get<std::string>();
  if (value.empty()) refuse(fmt::format("{}\"{}\" must not be empty", where, key));
  if (value.size() > longest_text) {
    refuse(fmt::format("{}\"{}\" is longer than {} characters", where, key, longest_text));
  }
  if (std::any_of(value.begin(), value.end(),
                  [](char c) { return static_cast<unsigned char>(c) < 0x20; })) {
    refuse(fmt::format("{}\"{}\" holds a control character", where, key));
  }
  return value;
}

double TypedValues::number(const Json& object, const std::string& where, const char* key) const {
  if (!has(object, key)) refuse(fmt::format("{}\"{}\" is missing", where, key));
  if (!object[key].is_number()) {
    refuse(fmt::format("{}\"{}\" should be a number, not {}", where, key,
                       words::excerpt(object[key].dump())));
  }
  return object[key].get<double>();
}

double TypedValues::between(const Json& object, const std::string& where, const char* key,
                            double low, double high) const {
  const double value = number(object, where, key);
  if (!(value >= low && value <= high)) {
    refuse(fmt::format("{}\"{}\" is {:g}, outside {:g} ... {:g}", where, key, value, low, high));
  }
  return value;
}

Vector3 TypedValues::three(const Json& object, const std::string& where, const char* key) const {
  if (!has(object, key)) {
    refuse(fmt::format("{}\"{}\" is missing: three numbers such as [1.2, 0.6, 2.4]", where, key));
  }
  const Json& entry = object[key];
  if (!entry.is_array() || entry.size() != 3 ||
      !std::all_of(entry.begin(), entry.end(), [](const Json& n) { return n.is_number(); })) {
    refuse(fmt::format("{}\"{}\" should be three numbers such as [1.2, 0.6, 2.4], not {}", where,
                       key, words::excerpt(entry.dump())));
  }
  const Vector3 v{entry[0].get<double>(), entry[1].get<double>(), entry[2].get<double>()};
  for (const double part : {v.x, v.y, v.z}) {
    if (!(std::abs(part) <= largest_part)) {
      refuse(
          fmt::format("{}\"{}\" holds {:g}, which is no position or direction", where, key, part));
    }
  }
  return v;
}

Vector3 TypedValues::direction(const Json& object, const std::string& where,
                               const char* key) const {
  if (object[key].is_string()) {
    const std::string word = object[key].get<std::string>();
    if (word == "up") return {0.0, 0.0, 1.0};
    if (word == "down") return {0.0, 0.0, -1.0};
    refuse(
        fmt::format("{}\"{}\" is \"{}\"; it is \"up\", \"down\" or three numbers such as "
                    "[0, -1, 0]",
                    where, key, words::excerpt(word)));
  }
  const Vector3 v = three(object, where, key);
  const double length = std::hypot(v.x, v.y, v.z);
  if (!(length > 1e-9)) {
    refuse(fmt::format("{}\"{}\" has no length, so it points nowhere", where, key));
  }
  return {v.x / length, v.y / length, v.z / length};
}

Findings TypedValues::look_over_keys(const Json& object, const std::string& where,
                                     std::span<const std::string_view> known) const {
  Findings own;
  for (const auto& item : object.items()) {
    const std::string& key = item.key();
    if (std::find(known.begin(), known.end(), key) != known.end()) continue;
    const auto nearest =
        std::min_element(known.begin(), known.end(), [&](const auto& a, const auto& b) {
          return words::edits_between(key, a) < words::edits_between(key, b);
        });
    const std::string shown = words::excerpt(key);
    const bool slip = key.size() <= longest_text && key.size() > words::most_slips &&
                      words::edits_between(key, *nearest) <= words::most_slips;
    if (slip) {
      refuse(fmt::format("{}there is no \"{}\"; did you mean \"{}\"?", where, shown, *nearest));
    }
    own.push_back(
        {"unknown_key", fmt::format("{}\"{}\" means nothing here and was left aside; notes go "
                                    "into \"comment\".",
                                    where, shown)});
  }
  return own;
}

}  // namespace lampbeat::records
