#pragma once

#include <optional>
#include <string>

#include "files/json.hpp"
#include "lampbeat/prediction.hpp"

// The keys of a line of results. All throw InputError naming the key that is not what it should be.

namespace lampbeat::records {

/// Whether it is there and not null.
bool has(const files::json::Json& object, const char* key);
/// Empty where it is not there or null.
std::optional<double> number(const files::json::Json& object, const char* key, double low,
                             double high);
/// Empty where it is not there or null.
std::string text(const files::json::Json& object, const char* key);
/// False where it is not there or null.
bool yes(const files::json::Json& object, const char* key);
/// "verdict": "clean" and so on; empty where it is null.
std::optional<Verdict> verdict_in(const files::json::Json& object);
/// "measurement_version".
std::optional<int> version_in(const files::json::Json& object);

}  // namespace lampbeat::records
