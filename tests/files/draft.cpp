#include "files/draft.hpp"

#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <filesystem>
#include <random>
#include <thread>
#include <vector>

#include "support/catch.hpp"
#include "support/draws.hpp"
#include "support/run_program.hpp"

using lampbeat::test::contents_of;
using lampbeat::test::ScratchFolder;

namespace {

/// Makes drafts and throws them away again on several threads, until a signal ends it.
[[noreturn]] void make_drafts(const std::string& destination, int started) {
  lampbeat::files::discard_drafts_on_signals();
  if (write(started, "", 1) != 1) std::abort();
  const auto work = [&] {
    while (true) lampbeat::files::Draft(destination).write("half a report");
  };
  std::vector<std::thread> others;
  for (int i = 0; i < 3; ++i) others.emplace_back(work);
  work();
  std::abort();
}

std::vector<std::string> names_in(const std::string& folder) {
  std::vector<std::string> names;
  for (const auto& entry : std::filesystem::directory_iterator(folder)) {
    names.push_back(entry.path().filename().string());
  }
  return names;
}

}  // namespace

TEST_CASE("a signal leaves no draft behind, whichever thread is making one") {
  const ScratchFolder folder("drafts");
  std::mt19937 random(715);
  std::uniform_real_distribution<double> moment_s(0.001, 0.02);
  for (int i = 0; i < lampbeat::test::draws(2000); ++i) {
    int started[2];
    REQUIRE(pipe(started) == 0);
    const pid_t child = fork();
    REQUIRE(child >= 0);
    if (child == 0) make_drafts(folder.file("report.html"), started[1]);
    char byte = 0;
    REQUIRE(read(started[0], &byte, 1) == 1);
    close(started[0]);
    close(started[1]);
    std::this_thread::sleep_for(std::chrono::duration<double>(moment_s(random)));
    kill(child, SIGTERM);
    int status = 0;
    waitpid(child, &status, 0);
    CHECK(WIFSIGNALED(status));
    const std::vector<std::string> left = names_in(folder.path());
    CHECK(left.empty());
    for (const std::string& name : left) std::filesystem::remove(folder.file(name));
  }
}

TEST_CASE("a draft takes its place whole, or leaves what stood there") {
  const ScratchFolder folder("draft");
  const std::string path = folder.file("light.json");
  for (const char* text : {"first", "second"}) {
    lampbeat::files::Draft draft(path);
    draft.write(text);
    draft.keep();
    CHECK(contents_of(path) == text);
  }
  { lampbeat::files::Draft(path).write("third, never kept"); }
  CHECK(contents_of(path) == "second");
  CHECK(names_in(folder.path()) == std::vector<std::string>{"light.json"});
}
