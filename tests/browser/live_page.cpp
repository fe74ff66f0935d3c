#include <filesystem>
#include <string>

#include "support/catch.hpp"
#include "support/run_program.hpp"
#include "support/skip.hpp"

// The page of the target `page`, used in a headless Chromium by a script beside this file.

namespace {

namespace fs = std::filesystem;

std::string program(const std::string& name) {
  const auto found = lampbeat::test::run_command("command -v " + name);
  return found.exit_code == 0 ? found.out.substr(0, found.out.find('\n')) : std::string();
}

void check(const std::string& part) {
  const fs::path page = fs::path(LAMPBEAT_PROGRAM).parent_path() / "lampbeat.html";
  if (!fs::exists(page)) {
    return lampbeat::test::passed_over("the page is not built (cmake --build build --target page)");
  }
  const std::string driver = program("chromedriver");
  if (driver.empty()) {
    return lampbeat::test::passed_over(
        "chromedriver is not installed (apt install chromium-driver)");
  }
  const auto ran = lampbeat::test::run_command("timeout 500 python3 '" LAMPBEAT_SOURCE_DIR
                                               "/tests/browser/check_live_page.py' '" +
                                               driver + "' '" + page.string() +
                                               "' '" LAMPBEAT_PROGRAM "' '" LAMPBEAT_SOURCE_DIR
                                               "/captures' '" LAMPBEAT_TEST_TMP "/live-page' " +
                                               part);
  INFO(ran.out + ran.err);
  if (ran.exit_code == 77) return lampbeat::test::passed_over(ran.out);
  CHECK(ran.exit_code == 0);
}

}  // namespace

TEST_CASE("the page predicts as the program does, and its address holds what is set") {
  check("plan");
}

TEST_CASE("the page measures files as the program does") { check("files"); }

TEST_CASE("the page can be used and read on a telephone, and nothing flashes") { check("looks"); }

TEST_CASE("the page measures a light through the microphone input") { check("microphone"); }

TEST_CASE("the page measures a light through the camera") { check("camera"); }
