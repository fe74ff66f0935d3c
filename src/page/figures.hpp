#pragma once

#include <optional>
#include <string>

#include "files/json.hpp"

namespace lampbeat::page {

/// A figure for the page: its key in the JSON of the commands, its full value, and how it reads.
inline files::json::Json figure(const char* key, const char* name,
                                const std::optional<double>& value, const std::string& words) {
  return {{"key", key},
          {"name", name},
          {"value", files::json::number(value)},
          {"words", value ? words : "not known"}};
}

}  // namespace lampbeat::page
