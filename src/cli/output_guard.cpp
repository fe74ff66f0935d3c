#include "cli/output_guard.hpp"

#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <optional>

#include "lampbeat/error.hpp"

namespace lampbeat::cli {

namespace {

namespace fs = std::filesystem;

/// What a name stands for: the file itself where there is one, and the place it will take.
struct Identity {
  bool exists = false;
  bool replaceable = true;  ///< a regular file, or none yet
  dev_t device = 0;
  ino_t number = 0;
  std::string place;
};

Identity from_status(const struct stat& status) {
  return {true, S_ISREG(status.st_mode) || S_ISDIR(status.st_mode), status.st_dev, status.st_ino,
          ""};
}

Identity identity_of(const std::string& path) {
  struct stat status {};
  Identity found;
  if (stat(path.c_str(), &status) == 0) found = from_status(status);
  std::error_code unknown;
  const fs::path absolute = fs::absolute(path, unknown);
  const fs::path place = fs::weakly_canonical(absolute, unknown);
  found.place = (unknown ? absolute.lexically_normal() : place).string();
  return found;
}

bool same_file(const Identity& a, const Identity& b) {
  if (a.exists && b.exists) return a.device == b.device && a.number == b.number;
  return !a.exists && !b.exists && a.place == b.place;
}

/// A stream redirected to or from a file is that file.
std::optional<Identity> stream_identity(int descriptor) {
  struct stat status {};
  if (fstat(descriptor, &status) != 0) return std::nullopt;
  return from_status(status);
}

std::optional<Identity> identity_of(const NamedFile& file, int stream) {
  if (file.path.empty()) return std::nullopt;
  const auto found = file.path == "-" ? stream_identity(stream) : identity_of(file.path);
  if (!found || !found->replaceable) return std::nullopt;
  return found;
}

[[noreturn]] void refuse(const NamedFile& output, const NamedFile& other, const char* what) {
  throw UsageError(fmt::format(
      "{} {} is the same file as {} {}, which would be {}. Nothing was written; give the output a "
      "name of its own",
      output.option, output.path, other.option, other.path, what));
}

}  // namespace

void refuse_output_over_input(const std::vector<NamedFile>& outputs,
                              const std::vector<NamedFile>& inputs) {
  std::vector<std::pair<Identity, const NamedFile*>> taken;
  for (const NamedFile& output : outputs) {
    const auto mine = identity_of(output, STDOUT_FILENO);
    if (!mine) continue;
    for (const NamedFile& input : inputs) {
      const auto theirs = identity_of(input, STDIN_FILENO);
      if (theirs && same_file(*mine, *theirs)) refuse(output, input, "lost");
    }
    for (const auto& [theirs, other] : taken) {
      const bool both_stdout = output.path == "-" && other->path == "-";
      if (!both_stdout && same_file(*mine, theirs)) refuse(output, *other, "overwritten by it");
    }
    taken.push_back({*mine, &output});
  }
}

bool take_standard_output(const std::vector<NamedFile>& outputs) {
  const NamedFile* first = nullptr;
  for (const NamedFile& output : outputs) {
    if (output.path != "-") continue;
    if (first) {
      throw UsageError(
          fmt::format("{} and {} would both write to standard output; give one of them a file",
                      first->option, output.option));
    }
    first = &output;
  }
  return first != nullptr;
}

}  // namespace lampbeat::cli
