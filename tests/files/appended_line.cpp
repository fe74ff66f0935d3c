#include "files/appended_line.hpp"

#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <csignal>
#include <filesystem>
#include <set>
#include <sstream>
#include <string>

#include "lampbeat/error.hpp"
#include "support/catch.hpp"
#include "support/scratch.hpp"

using lampbeat::files::append_line;
using lampbeat::test::contents_of;
using lampbeat::test::ScratchFolder;
using lampbeat::test::write_file;

namespace {

/// As long as the line of a measurement.
std::string line_of(int writer, int number) {
  return std::to_string(writer) + " " + std::to_string(number) + " " +
         std::string(static_cast<std::size_t>(20000 + 977 * writer + number), 'x');
}

}  // namespace

TEST_CASE("eight processes that append at once lose no line and tear none") {
  const ScratchFolder folder("append");
  const std::string path = folder.file("room.jsonl");
  constexpr int writers = 8;
  constexpr int lines_each = 25;
  std::set<std::string> expected;
  for (int w = 0; w < writers; ++w) {
    for (int n = 0; n < lines_each; ++n) expected.insert(line_of(w, n));
    if (fork() == 0) {
      for (int n = 0; n < lines_each; ++n) append_line(path, line_of(w, n));
      _exit(0);
    }
  }
  for (int w = 0; w < writers; ++w) {
    int status = 0;
    wait(&status);
    CHECK(status == 0);
  }
  std::set<std::string> found;
  std::istringstream lines(contents_of(path));
  int count = 0;
  for (std::string line; std::getline(lines, line); ++count) found.insert(line);
  CHECK(count == writers * lines_each);
  CHECK(found == expected);
}

TEST_CASE("a line that was cut off does not swallow the next") {
  const ScratchFolder folder("append-torn");
  const std::string path = folder.file("room.jsonl");
  write_file(path, "whole\ncut o");
  append_line(path, "next");
  CHECK(contents_of(path) == "whole\ncut o\nnext\n");
}

TEST_CASE("a log behind a link, there or not yet, is appended to where the link points") {
  const ScratchFolder folder("append-link");
  std::filesystem::create_symlink("real.jsonl", folder.file("link.jsonl"));
  append_line(folder.file("link.jsonl"), "one");
  append_line(folder.file("link.jsonl"), "two");
  CHECK(contents_of(folder.file("real.jsonl")) == "one\ntwo\n");
  CHECK(std::filesystem::is_symlink(folder.file("link.jsonl")));
}

TEST_CASE("a log that cannot take the whole line is left as it was") {
  const ScratchFolder folder("append-full");
  const std::string path = folder.file("room.jsonl");
  append_line(path, "first");
  const pid_t child = fork();
  if (child == 0) {
    std::signal(SIGXFSZ, SIG_IGN);
    const rlimit small{4096, 4096};
    setrlimit(RLIMIT_FSIZE, &small);
    try {
      append_line(path, std::string(10000, 'y'));
    } catch (const lampbeat::OutputError&) {
      _exit(4);
    }
    _exit(0);
  }
  int status = 0;
  waitpid(child, &status, 0);
  CHECK(WEXITSTATUS(status) == 4);
  CHECK(contents_of(path) == "first\n");
  CHECK_THROWS_AS(append_line(folder.path(), "to a folder"), lampbeat::OutputError);
  CHECK_THROWS_AS(append_line(folder.file("none/room.jsonl"), "x"), lampbeat::OutputError);
}
