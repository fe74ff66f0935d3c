#include <fcntl.h>
#include <signal.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <filesystem>
#include <random>
#include <regex>
#include <thread>

#include "support/catch.hpp"
#include "support/draws.hpp"
#include "support/places.hpp"
#include "support/run_program.hpp"

// Ended half-way, by Ctrl-C, a closed terminal or a shutdown: what stood there stands, nothing new
// lies about, or the output is whole.

using namespace lampbeat::test;

namespace {

namespace fs = std::filesystem;

/// Starts the program, sends it a signal after so long, and waits for its end.
int ended_after(std::vector<std::string> arguments, double seconds, int signal) {
  arguments.insert(arguments.begin(), places::program());
  std::vector<char*> argv;
  for (std::string& a : arguments) argv.push_back(a.data());
  argv.push_back(nullptr);
  posix_spawn_file_actions_t quiet;
  posix_spawn_file_actions_init(&quiet);
  posix_spawn_file_actions_addopen(&quiet, 1, "/dev/null", O_WRONLY, 0);
  posix_spawn_file_actions_addopen(&quiet, 2, "/dev/null", O_WRONLY, 0);
  pid_t child = 0;
  REQUIRE(posix_spawn(&child, places::program().c_str(), &quiet, nullptr, argv.data(), environ) ==
          0);
  posix_spawn_file_actions_destroy(&quiet);
  std::this_thread::sleep_for(std::chrono::duration<double>(seconds));
  kill(child, signal);
  int status = 0;
  waitpid(child, &status, 0);
  return WIFSIGNALED(status) ? 128 + WTERMSIG(status) : WEXITSTATUS(status);
}

std::vector<std::string> names_in(const fs::path& folder) {
  std::vector<std::string> names;
  for (const auto& entry : fs::directory_iterator(folder)) {
    names.push_back(entry.path().filename().string());
  }
  return names;
}

}  // namespace

TEST_CASE("an interrupted output leaves what stood there and nothing beside it") {
  const ScratchFolder folder("interrupted");
  std::mt19937 random(2222);
  std::uniform_real_distribution<double> moment(0.002, 0.25);
  const char* const outputs[] = {"long.wav", "long.flac", "long.csv", "long.y4m"};
  int interrupted = 0;
  for (int i = 0; i < draws(80); ++i) {
    const fs::path output = folder.file(outputs[i % 4]);
    std::ofstream(output) << "what stood there";
    const int signal = i % 3 == 0 ? SIGINT : i % 3 == 1 ? SIGTERM : SIGHUP;
    // So long that no machine is done before the signal comes: whole, it would stand there rightly.
    const int code = ended_after({"synth", output.string(), "--component", "100:20", "--seconds",
                                  "3600", "--rows", "1080", "--columns", "320"},
                                 moment(random), signal);
    INFO(output << ", ended with " << code);
    CHECK(names_in(folder.path()) == std::vector<std::string>{output.filename().string()});
    if (code == 128 + signal) {
      CHECK(contents_of(output) == "what stood there");
      ++interrupted;
    }
    fs::remove(output);
  }
  CHECK(interrupted > 0);
}

TEST_CASE("an interrupted batch says how many of its captures were measured") {
  const ScratchFolder folder("batch");
  std::string captures;
  constexpr int count = 60;
  for (int i = 0; i < count; ++i) {
    const std::string file = folder.file("lamp" + std::to_string(i) + ".wav");
    fs::create_symlink(places::sources() + "/captures/worktop-panel.wav", file);
    captures += " " + file;
  }
  std::mt19937 random(99);
  std::uniform_real_distribution<double> moment(0.05, 0.5);
  const auto after = [&](const std::string& command) {
    // In the foreground it interrupts once; else twice, of which the second ends the program.
    return run_command("timeout --foreground --preserve-status -s INT " +
                       std::to_string(moment(random)) + " '" + places::program() + "' " + command +
                       captures);
  };
  const std::regex told("nterrupted: ([0-9]+) of 60 captures measured");
  int interrupted = 0;
  for (int i = 0; i < draws(40); ++i) {
    const bool measuring = i % 2 == 0;
    const RunResult run = after(measuring ? "measure --json" : "rate --jobs 1");
    INFO(run.out << run.err);
    if (run.exit_code != 130) continue;  // done before, or before it began
    std::smatch match;
    const std::string said = measuring ? run.err : run.out;
    if (!std::regex_search(said, match, told)) {
      CHECK(run.out.empty());  // ended while it was still starting
      continue;
    }
    ++interrupted;
    const long measured = std::stol(match[1]);
    CHECK(measured < count);
    const std::string each = measuring ? "\"schema\"" : "\\n +[0-9]+ lamp";
    const std::regex one(each);
    CHECK(measured == std::distance(std::sregex_iterator(run.out.begin(), run.out.end(), one),
                                    std::sregex_iterator()));
  }
  CHECK(interrupted > 0);
}

TEST_CASE("an output through a symbolic link stays a link, and permissions stay as they were") {
  const ScratchFolder folder("output_places");
  std::ofstream(folder.file("kept.csv")) << "old";
  fs::permissions(folder.file("kept.csv"), fs::perms::owner_read | fs::perms::owner_write);
  fs::create_symlink(folder.file("kept.csv"), folder.file("link.csv"));
  const std::string link = folder.file("link.csv");
  REQUIRE(run_lampbeat("synth '" + link + "' --component 100:20 --seconds 0.1").exit_code == 0);
  CHECK(fs::is_symlink(folder.file("link.csv")));
  CHECK(contents_of(folder.file("kept.csv")).size() > 100);
  CHECK(fs::status(folder.file("kept.csv")).permissions() ==
        (fs::perms::owner_read | fs::perms::owner_write));
}
