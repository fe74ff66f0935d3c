#pragma once

#include <span>
#include <string>
#include <string_view>

#include "files/json.hpp"
#include "lampbeat/finding.hpp"
#include "lampbeat/room.hpp"

namespace lampbeat::records {

/// Values of a file people type, refused where they are missing or senseless. `where` begins what
/// is said about them: "fixture 'hood': "; all of it begins with the file's name.
class TypedValues {
 public:
  using Json = files::json::Json;

  explicit TypedValues(std::string path) : path_(std::move(path)) {}

  [[noreturn]] void refuse(const std::string& why) const;

  /// Whether the key is there and not null.
  static bool has(const Json& object, const char* key);
  /// Not empty, on one line, at most 200 characters.
  std::string text(const Json& object, const std::string& where, const char* key) const;
  double number(const Json& object, const std::string& where, const char* key) const;
  double between(const Json& object, const std::string& where, const char* key, double low,
                 double high) const;
  Vector3 three(const Json& object, const std::string& where, const char* key) const;
  /// Three numbers as a unit vector, or one of the words "up" and "down".
  Vector3 direction(const Json& object, const std::string& where, const char* key) const;

  /// A key a slip or two beside a known one is refused; any other is somebody's own, and told of.
  Findings look_over_keys(const Json& object, const std::string& where,
                          std::span<const std::string_view> known) const;

 protected:
  const std::string& path() const { return path_; }

 private:
  std::string path_;
};

}  // namespace lampbeat::records
