#pragma once

#include <CLI/CLI.hpp>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace lampbeat::cli {

/// What is written into the room's log, and under which name.
struct LogArguments {
  std::optional<std::string> path;
  std::optional<std::string> fixture;  ///< else the capture's file names it
  std::optional<std::string> taken;    ///< when, if not now

  /// Throws UsageError unless each of these captures would have a name, and one of its own.
  void check(const std::vector<std::string>& captures) const;
};

void add_log_options(CLI::App& command, LogArguments& arguments);

/// Appends the line of a result of this capture. Throws OutputError.
void log_result(const LogArguments& arguments, const std::string& result,
                const std::string& capture);

/// Of a file: its name without folder and ending.
std::string name_of_file(const std::string& path);

/// Seconds since 1970.
std::int64_t now_s();

}  // namespace lampbeat::cli
