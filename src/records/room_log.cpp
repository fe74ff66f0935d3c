#include "lampbeat/room_log.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <istream>
#include <string_view>
#include <utility>

#include "files/appended_line.hpp"
#include "files/json.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/measurement_line.hpp"
#include "records/footage_line.hpp"
#include "records/line_keys.hpp"
#include "records/room_line.hpp"
#include "words/dates.hpp"
#include "words/foreign_text.hpp"

namespace lampbeat {

namespace {

using files::json::Json;

constexpr const char* expected =
    "; expected a line of 'lampbeat measure --json', 'footage --json' or 'room --json'";

/// Times are compared as text, so all are written alike.
std::string time_of(const Json& document) {
  const std::string at = records::text(document, "at");
  if (at.empty()) return {};
  const auto seconds = words::time_in(at);
  if (!seconds) {
    throw InputError(fmt::format("\"at\" is {}, which is no ISO 8601 date", words::quoted(at)));
  }
  return words::utc_time(*seconds);
}

[[noreturn]] void refuse_schema(const std::string& schema) {
  for (const char* known : {"lampbeat.measure/", "lampbeat.footage/", "lampbeat.room/"}) {
    if (schema.rfind(known, 0) == 0) {
      throw InputError(fmt::format("written by a newer lampbeat ({}); update lampbeat to read it",
                                   words::excerpt(schema)));
    }
  }
  throw InputError(fmt::format("its schema is {}{}", words::quoted(schema), expected));
}

/// Of a measurement of a light with thousands of rhythms, or of an hour of windows.
constexpr std::size_t longest_line = 16'000'000;

/// False at the end. Of a longer line no more than the limit is kept, and a byte beyond it.
bool take_line(std::istream& stream, std::string& line) {
  line.clear();
  std::streambuf& bytes = *stream.rdbuf();
  constexpr int end = std::char_traits<char>::eof();
  int byte = bytes.sbumpc();
  if (byte == end) return false;
  for (; byte != end && byte != '\n'; byte = bytes.sbumpc()) {
    if (line.size() <= longest_line) line += static_cast<char>(byte);
  }
  return true;
}

void read_all(std::istream& stream, ReadLines& read) {
  std::string line;
  for (std::size_t number = 1; take_line(stream, line); ++number) {
    if (line.find_first_not_of(" \t\r") == std::string::npos) continue;
    try {
      if (line.size() > longest_line) throw InputError(std::string("too long") + expected);
      for (Occasion& occasion : read_occasion_line(line)) {
        read.occasions.push_back(std::move(occasion));
        read.numbers.push_back(number);
      }
    } catch (const InputError& error) {
      read.unreadable.push_back({number, error.what()});
    }
  }
}

/// So many characters of a line tell it from one of another file.
constexpr std::size_t tells = std::string_view(R"({"schema":"lampbeat.)").size();

/// Whether the text may be the beginning of a log, as far as it goes.
bool begins_log(std::string text) {
  std::erase_if(text, [](char c) { return c == ' ' || c == '\n' || c == '\r' || c == '\t'; });
  for (const std::string_view known :
       {R"({"schema":"lampbeat.measure/)", R"({"schema":"lampbeat.footage/)"}) {
    const std::size_t common = std::min(known.size(), text.size());
    if (text.compare(0, common, known, 0, common) == 0) return true;
  }
  return false;
}

/// A slip of one letter names another file that somebody has, and what grows at the end of a
/// capture or a room file spoils it.
void require_log(const std::string& path) {
  if (!std::filesystem::is_regular_file(path)) return;
  std::ifstream file(path, std::ios::binary);
  std::string head(64, '\0');
  file.read(head.data(), static_cast<std::streamsize>(head.size()));
  head.resize(static_cast<std::size_t>(file.gcount()));
  // Where a power cut left a part of its first line, more lines stand below that.
  const std::string line = head.substr(0, head.find('\n'));
  if (begins_log(head) || (line.size() >= tells && begins_log(line))) return;
  throw OutputError(
      fmt::format("{}: is there and is no room's log: it does not begin with a line of 'lampbeat "
                  "measure --log' or 'footage --log'. Nothing was added; name another file",
                  path));
}

}  // namespace

std::string log_line(const std::string& result, const std::string& fixture, std::int64_t at_s) {
  const Json document = Json::parse(result);
  Json line;
  for (const auto& [key, value] : document.items()) {
    line[key] = value;
    if (key != "schema") continue;
    line["at"] = words::utc_time(at_s);
    line["fixture"] = fixture;
  }
  return files::json::one_line(line);
}

void append_to_log(const std::string& path, const std::string& line) {
  require_log(path);
  files::append_line(path, line);
}

std::vector<Occasion> read_occasion_line(const std::string& line) {
  const Json document = Json::parse(line, nullptr, false);
  if (document.is_discarded() || !document.is_object()) {
    throw InputError(std::string("not valid JSON (cut off?)") + expected);
  }
  const std::string schema = records::text(document, "schema");
  std::vector<Occasion> seen;
  if (schema == "lampbeat.measure/1") {
    seen = {occasion_of(read_measurement_line(line))};
  } else if (schema == "lampbeat.footage/1") {
    seen = {records::footage_occasion(document)};
  } else if (schema == "lampbeat.room/1") {
    seen = records::places_of_room(document);
  } else {
    refuse_schema(schema);
  }
  for (Occasion& occasion : seen) {
    if (occasion.kind != OccasionKind::place) occasion.fixture = records::text(document, "fixture");
    occasion.at = time_of(document);
  }
  return seen;
}

ReadLines read_occasion_lines(const std::string& path) {
  ReadLines read;
  if (path == "-") {
    read_all(std::cin, read);
    return read;
  }
  errno = 0;
  std::ifstream file(path, std::ios::binary);
  if (!file) {
    throw InputError(
        fmt::format("{}: cannot be opened: {}", path, std::strerror(errno != 0 ? errno : ENOENT)));
  }
  read_all(file, read);
  return read;
}

}  // namespace lampbeat
