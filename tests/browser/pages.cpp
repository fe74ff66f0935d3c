#include <unistd.h>

#include <string>

#include "browser/sample_pages.hpp"
#include "support/catch.hpp"
#include "support/places.hpp"
#include "support/run_program.hpp"
#include "support/skip.hpp"

// Driven by two scripts beside this file; both need Python 3 and nothing beyond it.

namespace {

namespace fs = std::filesystem;

/// What it said on either stream.
struct Ran {
  int status = -1;
  std::string said;
};

Ran run(const std::string& command) {
  const lampbeat::test::RunResult ran = lampbeat::test::run_command(command);
  return {ran.exit_code, ran.out + ran.err};
}

std::string program(const std::string& names) {
  for (std::size_t at = 0; at < names.size();) {
    const std::size_t end = std::min(names.find(' ', at), names.size());
    const Ran found = run("command -v " + names.substr(at, end - at));
    if (found.status == 0) return found.said.substr(0, found.said.find('\n'));
    at = end + 1;
  }
  return {};
}

std::string pages() {
  const fs::path folder = fs::path(places::scratch()) / ("pages-" + std::to_string(::getpid()));
  static const bool written = (example::write_sample_pages(folder), true);
  REQUIRE(written);
  return "'" + folder.string() + "'/*.html";
}

}  // namespace

TEST_CASE("every page is balanced HTML with well-formed drawings and asks for nothing outside") {
  if (program("python3").empty()) return lampbeat::test::passed_over("python3 is not installed");
  const Ran ran =
      run("python3 '" + places::sources() + "/tests/browser/check_markup.py' " + pages());
  INFO(ran.said);
  CHECK(ran.status == 0);
}

TEST_CASE("every page shows whole and legible at 390 and 1024 pixels, dark and in print") {
  const std::string driver = program("chromedriver");
  if (driver.empty()) {
    return lampbeat::test::passed_over(
        "chromedriver is not installed (apt install chromium-driver)");
  }
  const Ran ran = run("timeout 120 python3 '" + places::sources() +
                      "/tests/browser/check_pages.py' '" + driver + "' " + pages());
  INFO(ran.said);
  if (ran.status == 77) return lampbeat::test::passed_over(ran.said);
  CHECK(ran.status == 0);
}
