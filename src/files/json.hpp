#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <string>

#include "lampbeat/finding.hpp"

// The few habits all JSON documents share. The JSON library is included here only.

namespace lampbeat::files::json {

/// Keys keep the order they are written in: people read these documents too.
using Json = nlohmann::ordered_json;

/// A figure, or null when there is none. A non-finite number is a fault upstream; it becomes null
/// too, since JSON cannot hold it.
Json number(double value);
Json number(const std::optional<double>& value);

/// An object that starts with "schema", "version" and "measurement_version".
Json document(const std::string& schema);

/// [{code, message}, ...]
Json list_of(const Findings& findings);

/// One line; bytes that are no UTF-8 (from file names) are replaced.
std::string one_line(const Json& document);
/// Indented, with a final newline, for files people open.
std::string for_a_file(const Json& document);

/// Reads a small JSON file. Throws InputError naming the file, and line and column of a fault
/// (`fault_of`); refuses more than 4 MB, and anything whose "schema" does not start with
/// `schema_name` + "/".
Json read_document(const std::string& path, const std::string& schema_name,
                   const std::string& what);
/// The same of a file people type: it may leave its "schema" out.
Json read_typed_document(const std::string& path, const std::string& schema_name,
                         const std::string& what);

}  // namespace lampbeat::files::json
