#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <utility>

#include "cli/commands.hpp"
#include "cli/near_miss.hpp"
#include "cli/occasion_inputs.hpp"
#include "cli/output_guard.hpp"
#include "lampbeat/comparison.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/html.hpp"
#include "lampbeat/json.hpp"
#include "lampbeat/output_file.hpp"
#include "lampbeat/text.hpp"
#include "words/dates.hpp"
#include "words/foreign_text.hpp"

namespace lampbeat::cli {

namespace {

struct CompareArguments {
  std::vector<std::string> inputs;
  OccasionReading reading;
  std::vector<std::string> fixtures;
  std::optional<std::string> since;
  std::optional<std::string> report;
  bool json = false;
};

std::optional<std::int64_t> since_s(const CompareArguments& a) {
  if (!a.since) return std::nullopt;
  const auto seconds = words::time_in(*a.since);
  if (!seconds) {
    throw UsageError(
        fmt::format("--since expects a date, 2026-11-01 or 2026-11-01T18:30:00Z, got {}",
                    words::quoted(*a.since)));
  }
  return seconds;
}

void require_own_outputs(const CompareArguments& a) {
  std::vector<NamedFile> inputs = {
      {"--dark", a.reading.capture.dark_file()},
      {"--reference", a.reading.clip.reference},
      {"--reference-lamp", a.reading.capture.reference_lamp.value_or("")}};
  for (const std::string& path : a.inputs) inputs.push_back({"the input", path});
  refuse_output_over_input({{"--report", a.report.value_or("")}}, inputs);
}

/// Says which lines were left out. One that could be newer than what was judged may hold the
/// answer, and its file is then not fully used.
void note_unreadable(const OccasionInput& input, const std::vector<Course>& courses,
                     Session& session) {
  for (const UnreadableLine& bad : input.unreadable) {
    note(session, fmt::format("{}, line {}: left out: {}", input.path, bad.number, bad.reason));
  }
  if (input.unreadable.empty()) return;
  const std::size_t last_bad = input.unreadable.back().number;
  for (const Course& course : courses) {
    bool later = false;
    for (std::size_t i = 0; i < input.occasions.size(); ++i) {
      later =
          later || (input.occasions[i].fixture == course.fixture && input.numbers[i] > last_bad);
    }
    if (!later) session.exit_code = 3;
  }
}

void require_two(const CompareArguments& a, const std::vector<OccasionInput>& inputs) {
  if (inputs.size() > 1 || inputs.front().lines) return;
  throw UsageError(fmt::format(
      "{} alone is no comparison: name what was before, then what is after, or a room's log",
      a.inputs.front()));
}

/// Those asked for, by the names that `--fixture` gives.
std::vector<Course> chosen(std::vector<Course> courses, const CompareArguments& a) {
  if (a.fixtures.empty()) return courses;
  std::vector<std::string> known;
  for (const Course& course : courses) known.push_back(course.fixture);
  for (const std::string& name : a.fixtures) require_known("fixture", name, known);
  std::erase_if(courses, [&](const Course& course) {
    return std::find(a.fixtures.begin(), a.fixtures.end(), course.fixture) == a.fixtures.end();
  });
  return courses;
}

Comparison compared(Course course, const CompareArguments& a) {
  if (course.occasions.empty()) {
    return not_measured(course.fixture, {}, fmt::format("It was not measured since {}.", *a.since));
  }
  if (!course.in_last) {
    return not_measured(course.fixture, std::move(course.occasions),
                        fmt::format("{} does not have it: it was not measured after.",
                                    words::shown_name(a.inputs.back(), 30)));
  }
  return compare(course.fixture, std::move(course.occasions));
}

/// Captures, clips and saved lights compared with one another are of the one fixture that is named.
void name_single(std::vector<Course>& courses, CompareArguments& a,
                 const std::vector<OccasionInput>& inputs) {
  const bool lines = std::any_of(inputs.begin(), inputs.end(),
                                 [](const OccasionInput& input) { return input.lines; });
  if (lines || courses.size() != 1 || a.fixtures.size() != 1) return;
  courses.front().fixture = a.fixtures.front();
}

void run(CompareArguments a, Session& session) {
  const auto since = since_s(a);
  require_own_outputs(a);
  a.reading.settings = a.reading.capture.resolved();
  std::vector<OccasionInput> inputs;
  for (const std::string& path : a.inputs) {
    inputs.push_back(read_occasions(path, a.reading, session));
  }
  require_two(a, inputs);
  std::vector<Course> courses = courses_of(inputs, since);
  name_single(courses, a, inputs);
  courses = chosen(std::move(courses), a);
  for (const OccasionInput& input : inputs) note_unreadable(input, courses, session);
  std::vector<Comparison> comparisons;
  for (Course& course : courses) comparisons.push_back(compared(std::move(course), a));
  if (a.json) {
    for (const Comparison& comparison : comparisons) print_line(to_json(comparison));
  } else {
    print_text(session, to_text(comparisons, session.style));
  }
  if (a.report) {
    write_atomically(*a.report, comparison_html(comparisons));
    if (*a.report != "-") note(session, "wrote the page " + *a.report);
  }
  const bool well = std::all_of(comparisons.begin(), comparisons.end(), [](const Comparison& c) {
    return c.verdict == ChangeVerdict::better || c.verdict == ChangeVerdict::unchanged;
  });
  if (!well) session.exit_code = std::max(session.exit_code, 1);
}

}  // namespace

void add_compare(CLI::App& app, Session& session) {
  auto a = std::make_shared<CompareArguments>();
  CLI::App* command = app.add_subcommand(
      "compare", "whether a light, a clip or a room is still as it was: better, worse, unchanged");
  command
      ->add_option(
          "INPUT", a->inputs,
          "before, then after: captures, clips, saved lights, or lines of 'lampbeat measure "
          "--json', 'footage --json' or 'room --json'; or one room log; - reads lines from a pipe")
      ->required();
  command
      ->add_option("--fixture", a->fixtures,
                   "only this fixture of a log (repeatable); or what to call the one compared")
      ->type_name("NAME")
      ->expected(1)
      ->take_all();
  command
      ->add_option("--since", a->since,
                   "compare the newest lines of a log with the first from this date on, not with "
                   "the very first: 2026-11-01, 2026-11-01T18:30:00Z")
      ->type_name("DATE");
  add_capture_options(*command, a->reading.capture);
  add_sensor_options(*command, a->reading.capture);
  add_clip_options(*command, a->reading.clip);
  command->add_option("--report", a->report, "write a page with the course of each fixture")
      ->type_name("FILE.html");
  command->add_flag("--json", a->json, "one JSON object a fixture on standard output");
  command->footer(
      "A change counts beyond 3.3 times both standard uncertainties taken together. Exit code 1:\n"
      "something is worse, or it is not known whether it is. Log with 'lampbeat measure --log'.");
  command->callback([a, &session] { run(*a, session); });
}

}  // namespace lampbeat::cli
