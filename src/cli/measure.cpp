#include <fmt/format.h>
#include <unistd.h>

#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "cli/capture_options.hpp"
#include "cli/commands.hpp"
#include "cli/interrupts.hpp"
#include "cli/limit.hpp"
#include "cli/live.hpp"
#include "cli/log_options.hpp"
#include "cli/numbers.hpp"
#include "cli/output_guard.hpp"
#include "cli/parallel.hpp"
#include "lampbeat/companions.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/filming.hpp"
#include "lampbeat/html.hpp"
#include "lampbeat/json.hpp"
#include "lampbeat/light_profile.hpp"
#include "lampbeat/output_file.hpp"
#include "lampbeat/terminal_plot.hpp"
#include "lampbeat/text.hpp"
#include "words/dates.hpp"

namespace lampbeat::cli {

namespace {

struct MeasureArguments {
  std::vector<std::string> captures;
  CaptureArguments reading;
  std::optional<std::string> save;
  std::optional<std::string> report;
  LogArguments log;
  std::optional<double> limit_percent;
  bool live = false;
  bool plot = false;
  bool json = false;
};

/// Standard input that is a keyboard would wait for ever without a word.
void require_piped_input(const std::string& path) {
  if (path == "-" && isatty(STDIN_FILENO)) {
    throw UsageError(
        "'-' reads a capture from a pipe, and nothing is piped in; try "
        "'arecord -f S16_LE -r 48000 -d 5 | lampbeat measure -'");
  }
}

void save_profile(const Measurement& measurement, const std::string& path, const Session& session) {
  Light light = light_from(measurement);
  light.made = words::utc_day(now_s());
  write_atomically(path, light_profile(light));
  if (path != "-") note(session, "saved the light profile " + path);
}

void require_own_outputs(const MeasureArguments& a) {
  std::vector<NamedFile> inputs = {{"--dark", a.reading.dark_file()},
                                   {"--reference-lamp", a.reading.reference_lamp.value_or("")}};
  for (const std::string& path : a.captures) inputs.push_back({"the capture", path});
  refuse_output_over_input({{"--save", a.save.value_or("")},
                            {"--report", a.report.value_or("")},
                            {"--log", a.log.path.value_or("")}},
                           inputs);
}

/// Prints and saves what a capture came to.
void hand_over(const Measurement& m, const std::string& path, const MeasureArguments& a, bool first,
               Session& session) {
  const bool read_by_people = !a.json || a.report;
  const auto filming = read_by_people ? rate_for_filming(m) : std::nullopt;
  if (a.json) {
    print_line(to_json(m));
  } else {
    print_text(session, (first ? "" : "\n") + to_text(m, filming, session.style));
    if (a.plot) print_text(session, "\n" + terminal_plot(m, session.style));
  }
  if (a.log.path) log_result(a.log, to_json(m), path);
  if (a.save) save_profile(m, *a.save, session);
  if (a.report) {
    write_atomically(*a.report, measurement_html(m, companions_of(m, filming)));
    if (*a.report != "-") note(session, "wrote the page " + *a.report);
  }
  hold_to_limit(a.limit_percent, depth_of(m), path, session);
}

/// A capture of several, measured, or why not.
struct Outcome {
  std::optional<Measurement> measurement;
  std::string refusal;
};

Outcome outcome_of(const std::string& path, const MeasureArguments& a,
                   const MeasurementSettings& settings, const Session& session) {
  try {
    return {measure_capture(path, a.reading, settings, session), {}};
  } catch (const InputError& error) {
    return {std::nullopt, error.what()};
  } catch (const UsageError& error) {
    // The options suit some captures and not others: a table without times, say.
    return {std::nullopt, error.what()};
  }
}

/// Several side by side, handed over in the order they were named.
void measure_several(const MeasureArguments& a, const MeasurementSettings& settings,
                     Session& session) {
  Session beside = session;
  beside.progress = false;  // one line is no place for several
  std::vector<Outcome> found(a.captures.size());
  bool first = true;
  std::size_t reached = 0;
  heed_interrupts();
  for_each_in_order(
      found.size(),
      [&](std::size_t i) {
        if (!interrupted()) found[i] = outcome_of(a.captures[i], a, settings, beside);
      },
      [&](std::size_t i) {
        const Outcome m = std::exchange(found[i], {});
        if (m.measurement || !m.refusal.empty()) ++reached;
        if (m.measurement) {
          hand_over(*m.measurement, a.captures[i], a, first, session);
          first = false;
        } else if (!m.refusal.empty()) {
          note(session, m.refusal);
          session.exit_code = 3;
        }
      });
  if (reached < found.size()) {
    note(session, fmt::format("interrupted: {} of {} captures measured", reached, found.size()));
    session.exit_code = exit_interrupted;
  }
}

void run(const MeasureArguments& a, Session& session) {
  if ((a.save || a.report) && a.captures.size() > 1) {
    throw UsageError("--save and --report take one capture at a time");
  }
  if (a.live && a.captures.size() > 1) throw UsageError("--live reads one capture at a time");
  a.log.check(a.captures);
  require_own_outputs(a);
  for (const std::string& path : a.captures) require_piped_input(path);
  const MeasurementSettings settings = a.reading.resolved();
  if (a.captures.size() > 1) {
    measure_several(a, settings, session);
    return;
  }
  const std::string& path = a.captures.front();
  const LiveLines lines = a.json ? LiveLines::programs : LiveLines::people;
  hand_over(a.live ? measure_live(path, a.reading, settings, lines, session)
                   : measure_capture(path, a.reading, settings, session),
            path, a, true, session);
}

}  // namespace

void add_measure(CLI::App& app, Session& session) {
  auto a = std::make_shared<MeasureArguments>();
  CLI::App* command =
      app.add_subcommand("measure", "how much and how fast a light flickers, from a sensor's log");
  command
      ->add_option("CAPTURE", a->captures,
                   "sound files (WAV, FLAC, AIFF, CAF, W64, RF64) or text tables; - reads a pipe")
      ->required();
  add_capture_options(*command, a->reading);
  add_sensor_options(*command, a->reading);
  command->add_option("--save", a->save, "save the light as a profile for predict and shutters")
      ->type_name("LIGHT.json");
  command->add_option("--report", a->report, "write a page to show, print or keep")
      ->type_name("FILE.html");
  add_log_options(*command, a->log);
  add_number(*command, "--limit", a->limit_percent, "PERCENT",
             "exit with 1 when percent flicker exceeds this or was not measured")
      ->check(number_between(0, 1e6, "a percentage"));
  command->add_flag("--live", a->live,
                    "a stream: show the current reading every half second until it ends, or "
                    "Ctrl-C, then the whole result");
  command->add_flag("--plot", a->plot, "draw the light's cycle and its rhythms in the terminal");
  command->add_flag("--json", a->json, "one JSON object a line on standard output");
  command->callback([a, &session] { run(*a, session); });
}

}  // namespace lampbeat::cli
