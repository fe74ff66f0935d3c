#if __has_include(<malloc.h>)
#include <malloc.h>
#endif

#include <exception>
#include <new>
#include <string>

#include "cli/commands.hpp"
#include "cli/near_miss.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/version.hpp"

namespace {

constexpr const char* purpose =
    "Will footage filmed under mains-powered lights show bands or pulsing,\n"
    "and what to set or swap so that it does not.";

constexpr const char* closing =
    "Exit codes: 0 done; 1 done, but over your --limit; 2 wrong usage; 3 an input could not be\n"
    "used; 4 an output could not be written.\n"
    "Never open a fixture or touch mains wiring to measure light.";

/// A mistyped command deserves its neighbour's name, not a list of everything.
void refuse_unknown_command(const CLI::App& app, int count, char** arguments) {
  if (count < 2 || arguments[1][0] == '-') return;
  std::vector<std::string> names;
  for (const CLI::App* command : app.get_subcommands({})) names.push_back(command->get_name());
  lampbeat::cli::require_known("command", arguments[1], names);
}

int run(int count, char** arguments, lampbeat::cli::Session& session) {
  using namespace lampbeat::cli;
  CLI::App app{purpose, "lampbeat"};
  app.footer(closing);
  app.set_version_flag("--version", std::string("lampbeat ") + lampbeat::version +
                                        " (measurement version " +
                                        std::to_string(lampbeat::measurement_version) + ")");
  app.require_subcommand(1);
  add_measure(app, session);
  add_predict(app, session);
  add_shutters(app, session);
  add_rate(app, session);
  add_footage(app, session);
  add_synth(app, session);
  refuse_unknown_command(app, count, arguments);
  try {
    app.parse(count, arguments);
  } catch (const CLI::ParseError& error) {
    if (error.get_exit_code() == 0) return app.exit(error);  // --help, --version
    throw lampbeat::UsageError(error.what());
  }
  return session.exit_code;
}

/// A long capture takes and gives back the same few megabytes every second of it. Handed to the
/// system and asked for again each time, they cost a quarter of the whole measurement.
void keep_freed_memory() {
#ifdef __GLIBC__
  mallopt(M_MMAP_THRESHOLD, 32 << 20);
  mallopt(M_TRIM_THRESHOLD, 64 << 20);
#endif
}

}  // namespace

int main(int count, char** arguments) {
  keep_freed_memory();
  lampbeat::cli::Session session = lampbeat::cli::look_around();
  try {
    return run(count, arguments, session);
  } catch (const lampbeat::UsageError& error) {
    note(session, error.what());
    const bool has_command = count > 1 && arguments[1][0] != '-';
    note(session, has_command ? std::string("see 'lampbeat ") + arguments[1] + " --help'"
                              : std::string("see 'lampbeat --help'"));
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
