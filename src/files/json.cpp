#include "files/json.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "files/json_faults.hpp"
#include "files/whole_file.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/version.hpp"

namespace lampbeat::files::json {

namespace {

/// Room for some thirty thousand components; a profile has hundreds.
constexpr std::size_t most_bytes = 4'000'000;

std::string line_and_column(const std::string& text, std::size_t byte) {
  const std::string before = text.substr(0, byte > 0 ? byte - 1 : 0);
  const auto line = 1 + std::count(before.begin(), before.end(), '\n');
  const std::size_t start = before.rfind('\n');
  const std::size_t column = before.size() - (start == std::string::npos ? 0 : start + 1) + 1;
  return fmt::format("line {}, column {}", line, column);
}

/// A small JSON file, whatever is in it.
Json parsed(const std::string& path, const std::string& what) {
  const std::string text = files::whole_file(path, most_bytes, what);
  if (text.empty()) throw InputError(fmt::format("{}: empty; expected {}", path, what));
  if (const auto fault = fault_of(text)) {
    const std::string where = fault->byte ? ", " + line_and_column(text, *fault->byte) : "";
    throw InputError(fmt::format("{}{}: {}; expected {}", path, where, fault->what, what));
  }
  return Json::parse(text);
}

void require_schema(const Json& document, const std::string& path, const std::string& schema_name,
                    const std::string& what) {
  const bool known = document.is_object() && document.contains("schema") &&
                     document["schema"].is_string() &&
                     document["schema"].get<std::string>().rfind(schema_name + "/", 0) == 0;
  if (!known) {
    throw InputError(fmt::format("{}: JSON, but not {} (its \"schema\" should be \"{}/1\")", path,
                                 what, schema_name));
  }
  if (document["schema"] != schema_name + "/1") {
    throw InputError(fmt::format("{}: written by a newer lampbeat ({}); update lampbeat to read it",
                                 path, document["schema"].get<std::string>()));
  }
}

}  // namespace

Json number(double value) { return std::isfinite(value) ? Json(value) : Json(nullptr); }

Json number(const std::optional<double>& value) { return value ? number(*value) : Json(nullptr); }

Json document(const std::string& schema) {
  return Json{
      {"schema", schema}, {"version", version}, {"measurement_version", measurement_version}};
}

Json list_of(const Findings& findings) {
  Json list = Json::array();
  for (const Finding& finding : findings) {
    list.push_back({{"code", finding.code}, {"message", finding.message}});
  }
  return list;
}

std::string one_line(const Json& document) {
  return document.dump(-1, ' ', false, Json::error_handler_t::replace);
}

std::string for_a_file(const Json& document) {
  return document.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

Json read_document(const std::string& path, const std::string& schema_name,
                   const std::string& what) {
  Json document = parsed(path, what);
  require_schema(document, path, schema_name, what);
  return document;
}

Json read_typed_document(const std::string& path, const std::string& schema_name,
                         const std::string& what) {
  Json document = parsed(path, what);
  if (!document.is_object() || document.contains("schema")) {
    require_schema(document, path, schema_name, what);
  }
  return document;
}

}  // namespace lampbeat::files::json
