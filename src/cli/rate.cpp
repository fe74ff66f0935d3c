#include <fmt/format.h>

#include <algorithm>
#include <memory>

#include "cli/capture_options.hpp"
#include "cli/commands.hpp"
#include "cli/interrupts.hpp"
#include "cli/light_options.hpp"
#include "cli/limit.hpp"
#include "cli/numbers.hpp"
#include "cli/output_guard.hpp"
#include "cli/shelf_inputs.hpp"
#include "cli/shelf_rater.hpp"
#include "lampbeat/csv.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/html.hpp"
#include "lampbeat/json.hpp"
#include "lampbeat/output_file.hpp"
#include "lampbeat/rating.hpp"
#include "lampbeat/shot.hpp"
#include "lampbeat/text.hpp"

namespace lampbeat::cli {

namespace {

struct RateArguments {
  std::vector<std::string> inputs;
  CaptureArguments reading;
  std::string readout;
  std::vector<std::string> fps;
  std::optional<double> clock_tolerance_percent;
  int jobs = 0;
  std::optional<std::string> csv;
  std::optional<std::string> report;
  std::optional<double> limit_percent;
  bool json = false;
};

ShelfRater rater_for(const RateArguments& a) {
  ShelfRater rater;
  rater.reading = a.reading;
  // --mains says where the lights will burn, not where they were captured: that the light itself
  // tells. A wrong word here would make a mains-locked light look free-running.
  const MeasurementSettings asked = a.reading.resolved();
  rater.options.mains_hz = asked.mains_hz;
  rater.options.clock_tolerance_percent = a.clock_tolerance_percent;
  rater.reading.mains = "auto";
  rater.settings = asked;
  rater.settings.mains_hz.reset();
  if (!a.readout.empty()) rater.readout_s = parse_readout_s(a.readout);
  std::vector<FrameRate> asked_rates;
  for (const std::string& fps : a.fps) asked_rates.push_back(parse_frame_rate(fps));
  rater.rates = rates_judged_at(asked_rates, rater.readout_s);
  return rater;
}

ShelfRating ranked(const std::vector<ToRate>& items, const std::vector<RatedItem>& rated) {
  ShelfRating shelf;
  std::vector<FixtureRating> ratings;
  for (std::size_t i = 0; i < items.size(); ++i) {
    if (rated[i].rating) {
      ratings.push_back(*rated[i].rating);
    } else {
      shelf.failed.push_back({items[i].entry.fixture, items[i].entry.capture, rated[i].reason});
    }
  }
  shelf.fixtures = rank_fixtures(std::move(ratings));
  return shelf;
}

/// Says how far it came; false where it came to the end before the interrupt did.
bool add_interruption(ShelfRating& shelf, const std::vector<RatedItem>& rated) {
  const auto reached = std::count_if(rated.begin(), rated.end(), [](const RatedItem& item) {
    return item.rating || item.reason != RatedItem{}.reason;
  });
  if (reached == std::ssize(rated)) return false;
  shelf.findings.push_back(
      {"interrupted", fmt::format("Interrupted: {} of {} captures measured; the ranking is "
                                  "of these alone.",
                                  reached, rated.size())});
  return true;
}

/// Every capture counts: the one that decides a fixture's class need not be its deepest.
void hold_all_to_limit(const std::vector<ToRate>& items, const std::vector<RatedItem>& rated,
                       const std::optional<double>& limit_percent, Session& session) {
  for (std::size_t i = 0; i < items.size(); ++i) {
    if (!rated[i].rating) continue;  // listed with its reason, and an exit code of its own
    hold_to_limit(limit_percent, rated[i].depth, items[i].entry.fixture, session);
  }
}

std::vector<NamedFile> outputs_of(const RateArguments& a) {
  return {{"--csv", a.csv.value_or("")}, {"--report", a.report.value_or("")}};
}

/// A shelf has to be read to know what it names; the captures themselves are not touched yet.
std::vector<ToRate> inputs_kept_apart(const RateArguments& a) {
  std::vector<NamedFile> named = {{"--dark", a.reading.dark_file()}};
  for (const std::string& input : a.inputs) named.push_back({"the input", input});
  refuse_output_over_input(outputs_of(a), named);
  std::vector<ToRate> items = gather_inputs(a.inputs);
  std::vector<NamedFile> files;
  for (const ToRate& item : items) {
    files.push_back({"the capture", item.file});
    files.push_back({"the dark capture", item.entry.dark});
  }
  refuse_output_over_input(outputs_of(a), files);
  return items;
}

void run(const RateArguments& a, Session& session) {
  const std::vector<ToRate> items = inputs_kept_apart(a);
  const ShelfRater rater = rater_for(a);
  const Findings camera_doubts =
      doubts_of_camera(rater.readout_s, a.fps.empty() ? std::span<const FrameRate>() : rater.rates);
  heed_interrupts();
  const std::vector<RatedItem> rated = rate_all(items, rater, a.jobs, session);
  ShelfRating shelf = ranked(items, rated);
  shelf.rates = rater.rates;
  shelf.findings = camera_doubts;
  const bool cut_short = interrupted() && add_interruption(shelf, rated);
  for (Finding& f : doubts_of_fixtures(shelf.fixtures)) shelf.findings.push_back(std::move(f));
  if (a.json) {
    print_line(to_json(shelf));
  } else {
    print_text(session, to_text(shelf, session.style));
  }
  // The text already lists them, unless it went where nobody reads it.
  for (const FailedCapture& failed : shelf.failed) {
    if (!a.json) break;
    const bool named = failed.reason.rfind(failed.capture, 0) == 0;
    note(session, named ? failed.reason : failed.capture + ": " + failed.reason);
  }
  hold_all_to_limit(items, rated, a.limit_percent, session);
  if (!shelf.failed.empty()) session.exit_code = 3;
  if (cut_short) session.exit_code = exit_interrupted;
  if (a.csv) write_atomically(*a.csv, to_csv(shelf));
  if (a.report) write_atomically(*a.report, shelf_html(shelf));
}

}  // namespace

void add_rate(CLI::App& app, Session& session) {
  auto a = std::make_shared<RateArguments>();
  CLI::App* command =
      app.add_subcommand("rate", "rank fixtures by how fit their light is for filming");
  command
      ->add_option("INPUT", a->inputs,
                   "captures, lights saved by measure or footage, a folder of them, a shelf file "
                   "(CSV with the columns fixture,capture[,dark,level,notes]), or lines of "
                   "'lampbeat measure --json'; - "
                   "reads such lines from a pipe")
      ->required();
  add_capture_options(*command, a->reading);
  if (CLI::Option* mains = command->get_option_no_throw("--mains")) {
    mains->description("rate as on this mains frequency; auto: as captured");
  }
  command
      ->add_option("--readout", a->readout,
                   "the camera's readout: 16ms, 1/60, global (default: 16ms, or the "
                   "frame where that is shorter)")
      ->type_name("TIME");
  command
      ->add_option("--fps", a->fps,
                   "the frame rates to judge at (default: 23.976,24,25,29.97,30,50,59.94,60)")
      ->type_name("LIST")
      ->delimiter(',')
      ->expected(1)
      ->allow_extra_args(false)
      ->take_all();
  add_clock_tolerance(*command, a->clock_tolerance_percent);
  command->add_option("--jobs", a->jobs, "captures measured at once; else one per processor")
      ->type_name("N")
      ->check(number_between(1, 1024, "a number of jobs"));
  command->add_option("--csv", a->csv, "write the ranking as a table")->type_name("FILE");
  command->add_option("--report", a->report, "write a page to show, print or keep")
      ->type_name("FILE.html");
  add_number(*command, "--limit", a->limit_percent, "PERCENT",
             "exit with 1 when any fixture's percent flicker exceeds this or was not measured")
      ->check(number_between(0, 1e6, "a percentage"));
  command->add_flag("--json", a->json, "one JSON object on standard output");
  command->footer(
      "A fixture with several captures is judged at its worst. One unusable capture never stops\n"
      "the rest: it is listed with its reason and the exit code is 3. Ctrl-C finishes captures in\n"
      "flight, reports what was done and exits with 130.");
  command->callback([a, &session] { run(*a, session); });
}

}  // namespace lampbeat::cli
