#pragma once

#include <cstddef>
#include <numbers>
#include <optional>
#include <string>

#include "files/json.hpp"
#include "lampbeat/light.hpp"

namespace lampbeat::records {

inline constexpr double degrees = 180.0 / std::numbers::pi;  ///< of one radian

/// Reads one light profile, naming file and key in everything it refuses.
class ProfileReader {
 public:
  /// Throws InputError for a file that cannot be read or is no profile.
  explicit ProfileReader(const std::string& path);

  /// Throws InputError for a value outside its range.
  Light light() const;

 private:
  using Json = files::json::Json;

  [[noreturn]] void refuse(const std::string& why) const;
  static bool has(const Json& object, const char* key);
  std::string text(const Json& object, const char* key, const std::string& otherwise) const;
  /// False where it is not there.
  bool yes(const Json& object, const char* key) const;
  double in_range(const Json& object, const std::string& where, const char* key, double low,
                  double high) const;
  double or_nothing(const Json& object, const std::string& where, const char* key, double low,
                    double high) const;
  const Json& list(const Json& object, const std::string& where, const char* key,
                   std::size_t most) const;
  /// What a light and each of its other states have in common.
  void read_state(const Json& object, const std::string& where, auto& state) const;
  LightComponent component(const Json& entry, const std::string& of, std::size_t index) const;
  LightFigures read_figures(const Json& object) const;
  SetUp read_set_up(const Json& object) const;
  void read_findings(Findings& findings) const;

  std::string path_;
  Json root_;
};

}  // namespace lampbeat::records
