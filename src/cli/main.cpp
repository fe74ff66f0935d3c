#include <fmt/format.h>
#include <fmt/ranges.h>
#if __has_include(<malloc.h>)
#include <malloc.h>
#endif

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstdio>
#include <cstring>
#include <exception>
#include <new>
#include <string>
#include <vector>

#include "cli/commands.hpp"
#include "cli/help_format.hpp"
#include "cli/near_miss.hpp"
#include "files/draft.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/version.hpp"

namespace {

constexpr const char* purpose =
    "Will footage filmed under mains-powered lights show bands or pulsing,\n"
    "and what to set or swap so that it does not.";

constexpr const char* closing =
    "Exit codes: 0 done; 1 done, but over your --limit, worse than before, or not known well "
    "enough\n"
    "to say, or what was to be saved was not found; 2 wrong usage; 3 an input could not be used;\n"
    "4 an output could not be written.\n"
    "Never open a fixture or touch mains wiring to measure light.";

constexpr const char* where_to_start =
    "'lampbeat help COMMAND' shows what a command needs, with examples, and all its options.\n\n";

/// "help" and "help COMMAND" are "--help" and "COMMAND --help".
std::vector<char*> asked(int count, char** arguments) {
  static std::string help = "--help";
  std::vector<char*> words(arguments, arguments + count);
  if (count < 2 || std::strcmp(arguments[1], "help") != 0) return words;
  words.erase(words.begin() + 1);
  words.insert(words.begin() + std::min(count - 1, 2), help.data());
  return words;
}

/// A mistyped command deserves its neighbour's name, not a list of everything.
void require_known_command(const CLI::App& app, int count, char** arguments) {
  std::vector<std::string> names;
  for (const CLI::App* command : app.get_subcommands({})) names.push_back(command->get_name());
  if (count < 2) {
    throw lampbeat::UsageError(fmt::format("which command? there are {}", fmt::join(names, ", ")));
  }
  if (arguments[1][0] != '-') lampbeat::cli::require_known("command", arguments[1], names);
}

/// What a command works on has no option whose name would explain it. Empty where it was named.
std::string what_to_name(const std::string& command, const std::string& complaint) {
  struct Question {
    const char* command;
    const char* complaint;
    const char* words;
  };
  constexpr std::array questions = {
      Question{"measure", "CAPTURE is required",
               "which capture? name a sound file or table, or - for a pipe"},
      Question{"rate", "INPUT is required",
               "which fixtures? name a folder, a shelf file or captures"},
      Question{"footage", "CLIP is required", "which clip? name a video or a photograph, or -"},
      Question{"compare", "INPUT is required",
               "what with what? name what was before, then what is after, or a room's log"},
      Question{"synth", "OUT is required",
               "which file to make? name it .wav, .flac, .csv or .y4m"}};
  for (const Question& q : questions) {
    if (command == q.command && complaint == q.complaint) return q.words;
  }
  return "";
}

/// A full disk behind standard output shows only when the last of it is written.
void finish_standard_output() {
  errno = 0;
  if (std::fflush(stdout) == 0 && std::ferror(stdout) == 0) return;
  throw lampbeat::OutputError(fmt::format("standard output: cannot write all of it: {}",
                                          std::strerror(errno != 0 ? errno : EIO)));
}

int run(int count, char** arguments, lampbeat::cli::Session& session) {
  using namespace lampbeat::cli;
  CLI::App app{purpose, "lampbeat"};
  app.formatter(help_format());
  app.footer(std::string(where_to_start) + closing);
  app.set_version_flag("-V,--version", std::string("lampbeat ") + lampbeat::version +
                                           " (measurement version " +
                                           std::to_string(lampbeat::measurement_version) + ")");
  app.require_subcommand(1);
  add_measure(app, session);
  add_predict(app, session);
  add_shutters(app, session);
  add_rate(app, session);
  add_footage(app, session);
  add_room(app, session);
  add_compare(app, session);
  add_synth(app, session);
  for (CLI::App* command : app.get_subcommands({})) {
    // Its own help says how the results read; how to start is for the program's.
    if (command->get_footer() == app.get_footer()) command->footer(closing);
  }
  require_known_command(app, count, arguments);
  for (const CLI::App* command : app.get_subcommands({})) {
    if (command->get_name() == arguments[1]) require_known_options(*command, count, arguments);
  }
  try {
    app.parse(count, arguments);
  } catch (const CLI::RequiredError& error) {
    const std::string asked_for = what_to_name(arguments[1], error.what());
    throw lampbeat::UsageError(asked_for.empty() ? error.what() : asked_for);
  } catch (const CLI::ParseError& error) {
    if (error.get_exit_code() == 0) return app.exit(error);  // --help, --version
    throw lampbeat::UsageError(error.what());
  }
  finish_standard_output();
  return session.exit_code;
}

/// A long capture takes and gives back the same few megabytes every second of it. Handed to the
/// system and asked for again each time, they cost a quarter of the whole measurement. What is
/// longer than an array of a second at 192 kHz (1.5 MB) is rarer, and kept it would be most of what
/// is resident: windows stretched for close rhythms, rows of a clip.
void keep_freed_memory() {
#ifdef __GLIBC__
  mallopt(M_MMAP_THRESHOLD, 3 << 20);
  mallopt(M_TRIM_THRESHOLD, 64 << 20);
#endif
}

/// The command whose help would answer a wrong usage; empty when there is none such.
std::string command_in(int count, char** arguments) {
  constexpr std::array known = {"measure", "predict", "shutters", "rate",
                                "footage", "room",    "compare",  "synth"};
  for (const char* name : known) {
    if (count > 1 && std::strcmp(arguments[1], name) == 0) return std::string(name) + " ";
  }
  return "";
}

}  // namespace

int main(int count, char** arguments) {
  keep_freed_memory();
  lampbeat::files::discard_drafts_on_signals();
  lampbeat::cli::Session session = lampbeat::cli::look_around();
  try {
    std::vector<char*> words = asked(count, arguments);
    return run(static_cast<int>(words.size()), words.data(), session);
  } catch (const lampbeat::UsageError& error) {
    note(session, error.what());
    note(session, fmt::format("see 'lampbeat {}--help'", command_in(count, arguments)));
    return 2;
  } catch (const lampbeat::InputError& error) {
    note(session, error.what());
    return 3;
  } catch (const lampbeat::OutputError& error) {
    note(session, error.what());
    return 4;
  } catch (const std::bad_alloc&) {
    note(session, "this input needs more memory than the machine has");
    return 3;
  } catch (const std::exception& error) {
    note(session, std::string("a fault in lampbeat itself, please report it: ") + error.what());
    return 70;
  }
}
