#include "cli/log_options.hpp"

#include <fmt/format.h>

#include <chrono>
#include <filesystem>
#include <set>

#include "lampbeat/error.hpp"
#include "lampbeat/room_log.hpp"
#include "words/dates.hpp"
#include "words/foreign_text.hpp"

namespace lampbeat::cli {

namespace {

std::int64_t time_taken(const LogArguments& a) {
  if (!a.taken) return now_s();
  const auto seconds = words::time_in(*a.taken);
  if (!seconds) {
    throw UsageError(
        fmt::format("--taken expects a date, 2026-11-30 or 2026-11-30T18:30:00Z, got {}",
                    words::quoted(*a.taken)));
  }
  return *seconds;
}

}  // namespace

std::string name_of_file(const std::string& path) {
  return std::filesystem::path(path).stem().string();
}

std::int64_t now_s() {
  return std::chrono::duration_cast<std::chrono::seconds>(
             std::chrono::system_clock::now().time_since_epoch())
      .count();
}

void LogArguments::check(const std::vector<std::string>& captures) const {
  if (!path) {
    if (fixture) throw UsageError("--fixture names the line that --log writes, and needs it");
    if (taken) throw UsageError("--taken dates the line that --log writes, and needs it");
    return;
  }
  if (path->empty() || *path == "-") throw UsageError("--log needs a file to append to");
  time_taken(*this);
  if (fixture) {
    if (fixture->empty()) throw UsageError("--fixture needs a name");
    if (captures.size() > 1) {
      throw UsageError(
          "--fixture names one fixture; of several captures each is logged by its file's name");
    }
    return;
  }
  std::set<std::string> names;
  for (const std::string& capture : captures) {
    if (capture == "-") throw UsageError("--log of a pipe needs --fixture NAME");
    if (!names.insert(name_of_file(capture)).second) {
      throw UsageError(
          fmt::format("two captures would be logged as {}; measure them one at a time, with "
                      "--fixture",
                      words::quoted(name_of_file(capture))));
    }
  }
}

void add_log_options(CLI::App& command, LogArguments& a) {
  command
      .add_option("--log", a.path,
                  "append the result to the room's log, dated, for 'lampbeat compare'")
      ->type_name("ROOM.jsonl");
  command.add_option("--fixture", a.fixture, "the fixture's name in the log; else its file's name")
      ->type_name("NAME");
  command.add_option("--taken", a.taken, "when it was recorded, for the log; else now")
      ->type_name("DATE");
}

void log_result(const LogArguments& a, const std::string& result, const std::string& capture) {
  append_to_log(*a.path,
                log_line(result, a.fixture.value_or(name_of_file(capture)), time_taken(a)));
}

}  // namespace lampbeat::cli
