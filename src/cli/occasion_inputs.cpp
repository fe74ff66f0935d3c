#include "cli/occasion_inputs.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <filesystem>
#include <string_view>
#include <utility>

#include "cli/log_options.hpp"
#include "files/whole_file.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/json.hpp"
#include "lampbeat/light_profile.hpp"
#include "lampbeat/measurement_line.hpp"
#include "words/characters.hpp"
#include "words/dates.hpp"

namespace lampbeat::cli {

namespace {

bool is_clip(const std::string& path, const std::string& head) {
  if (head.rfind("YUV4MPEG2", 0) == 0) return true;
  constexpr std::array<std::string_view, 14> endings = {".y4m",  ".mp4",  ".m4v", ".mov", ".mkv",
                                                        ".webm", ".avi",  ".mts", ".mxf", ".ts",
                                                        ".jpg",  ".jpeg", ".png", ".pgm"};
  const std::string ending = words::small_letters(std::filesystem::path(path).extension().string());
  return std::find(endings.begin(), endings.end(), ending) != endings.end();
}

void take_lines(OccasionInput& input) {
  ReadLines read = read_occasion_lines(input.path);
  input.lines = true;
  input.occasions = std::move(read.occasions);
  input.numbers = std::move(read.numbers);
  input.unreadable = std::move(read.unreadable);
  if (!input.occasions.empty()) return;
  if (input.unreadable.empty()) throw InputError(input.path + ": holds no line");
  throw InputError(fmt::format("{}, line {}: {}", input.path, input.unreadable.front().number,
                               input.unreadable.front().reason));
}

/// A clip is read as its line would be, so that there is one account of it.
Occasion clip_occasion(const std::string& path, const OccasionReading& reading) {
  return read_occasion_line(to_json(measure_clip(path, reading.clip))).front();
}

void name_fixtures(OccasionInput& input) {
  for (Occasion& occasion : input.occasions) {
    if (!occasion.fixture.empty()) continue;
    occasion.fixture = name_of_file(occasion.source.empty() ? input.path : occasion.source);
  }
}

/// From the one given on. Later ones with the same date stand where they stood.
void put_in_order(std::vector<Occasion>& occasions, std::size_t from) {
  const auto begin = occasions.begin() + static_cast<std::ptrdiff_t>(from);
  const auto undated = [](const Occasion& occasion) { return occasion.at.empty(); };
  if (std::any_of(begin, occasions.end(), undated)) return;
  std::stable_sort(begin, occasions.end(),
                   [](const Occasion& a, const Occasion& b) { return a.at < b.at; });
}

/// Of a sink and of a hood, whatever files they are in.
bool say_they_differ(const std::vector<OccasionInput>& inputs) {
  const OccasionInput* first = nullptr;
  for (const OccasionInput& input : inputs) {
    if (!input.named || input.occasions.empty()) continue;
    if (!first) first = &input;
    if (input.occasions.front().fixture != first->occasions.front().fixture) return true;
  }
  return false;
}

void leave_out_older(OccasionInput& input, std::int64_t since_s) {
  const std::string since = words::utc_time(since_s);
  for (const Occasion& occasion : input.occasions) {
    if (!occasion.at.empty()) continue;
    throw UsageError(
        fmt::format("--since chooses among the dated lines of a log, and {} has none "
                    "for {}",
                    input.path, occasion.fixture));
  }
  std::erase_if(input.occasions, [&](const Occasion& occasion) { return occasion.at < since; });
}

Course& course_for(std::vector<Course>& courses, const std::string& fixture, OccasionKind kind) {
  const auto known = std::find_if(courses.begin(), courses.end(), [&](const Course& c) {
    return c.fixture == fixture && c.kind == kind;
  });
  if (known != courses.end()) return *known;
  courses.push_back({fixture, kind, {}, false});
  return courses.back();
}

/// Only the two ends are compared; what is between them need not be kept whole.
void keep_ends(Course& course) {
  for (std::size_t i = 1; i + 1 < course.occasions.size(); ++i) course.occasions[i].light.reset();
}

}  // namespace

OccasionInput read_occasions(const std::string& path, const OccasionReading& reading,
                             const Session& session) {
  OccasionInput input;
  input.path = path;
  constexpr std::size_t enough =
      65536;  // the "schema" stands first, unless somebody sorted the keys
  const std::string head = path == "-" ? "{" : files::front_of_file(path, enough);
  if (path == "-" && isatty(STDIN_FILENO)) {
    throw UsageError(
        "'-' reads lines of 'lampbeat measure --json' from a pipe, and nothing is piped in");
  }
  // Of a log the first line may be damaged, as any other.
  const bool log = std::filesystem::path(path).extension() == ".jsonl";
  if (is_json_line(head) && head.find("\"lampbeat.light/") != std::string::npos) {
    input.occasions.push_back(occasion_of(read_light_profile(path), path));
  } else if (log || is_json_line(head)) {
    take_lines(input);
  } else if (is_clip(path, head)) {
    input.occasions.push_back(clip_occasion(path, reading));
  } else {
    input.occasions.push_back(
        occasion_of(measure_capture(path, reading.capture, reading.settings, session)));
  }
  input.named = std::none_of(input.occasions.begin(), input.occasions.end(),
                             [](const Occasion& o) { return o.fixture.empty(); });
  name_fixtures(input);
  return input;
}

std::vector<Course> courses_of(std::vector<OccasionInput> inputs,
                               std::optional<std::int64_t> since_s) {
  const bool one_each = inputs.size() > 1 && !say_they_differ(inputs) &&
                        std::all_of(inputs.begin(), inputs.end(), [](const OccasionInput& input) {
                          return input.occasions.size() == 1;
                        });
  std::vector<Course> courses;
  const std::string only = one_each ? inputs.back().occasions.front().fixture : "";
  const auto course_of = [&](const Occasion& occasion) -> Course& {
    return one_each ? course_for(courses, only, OccasionKind::light)
                    : course_for(courses, occasion.fixture, occasion.kind);
  };
  for (std::size_t i = 0; i < inputs.size(); ++i) {
    // A fixture not measured since is still one to ask about.
    for (const Occasion& occasion : inputs[i].occasions) {
      Course& course = course_of(occasion);
      course.in_last = course.in_last || i + 1 == inputs.size();
    }
    if (since_s) leave_out_older(inputs[i], *since_s);
    std::vector<std::size_t> had;
    for (const Course& course : courses) had.push_back(course.occasions.size());
    for (Occasion& occasion : inputs[i].occasions) {
      std::vector<Occasion>& occasions = course_of(occasion).occasions;
      occasions.push_back(std::move(occasion));
    }
    for (std::size_t k = 0; k < courses.size(); ++k) put_in_order(courses[k].occasions, had[k]);
  }
  for (Course& course : courses) keep_ends(course);
  return courses;
}

}  // namespace lampbeat::cli
