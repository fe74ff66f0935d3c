// `footage --report`: one page, by itself, beside the result and not in place of it.

#include <nlohmann/json.hpp>
#include <string>

#include "support/catch.hpp"
#include "support/run_program.hpp"

using namespace lampbeat::test;

namespace {

bool holds(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

}  // namespace

TEST_CASE("footage writes a page by itself, with the verdict that it prints") {
  const ScratchFolder folder("footage-page");
  const std::string clip = folder.file("a.y4m");
  REQUIRE(run_lampbeat("synth " + clip +
                       " --mains 60 --component 120:40 --fps 25 --shutter 1/400 --readout 16ms "
                       "--rows 180 --noise 1 --seconds 3")
              .exit_code == 0);
  const std::string page = folder.file("clip.html");
  const RunResult run = run_lampbeat("footage " + clip + " --light-hz 120 --report " + page);
  CHECK(run.exit_code == 0);
  CHECK(holds(run.err, page));
  const std::string html = contents_of(page);
  CHECK(holds(html, run.out.substr(0, run.out.find('\n'))));
  for (const char* drawing : {"clip-frame", "row-profile", "frame-levels"}) {
    CHECK(holds(html, drawing));
  }
  CHECK_FALSE(holds(html, "src=\"http"));
  CHECK_FALSE(holds(html, "href=\"http"));
  // Its own inputs are no place for it, and where it cannot be written that is said.
  CHECK(run_lampbeat("footage " + clip + " --report " + clip).exit_code == 2);
  CHECK(run_lampbeat("footage " + clip + " --report /no/such/folder/p.html").exit_code == 4);
  CHECK(nlohmann::json::parse(run_lampbeat("footage --json " + clip + " --report " + page).out)
            .contains("band_percent"));
}

TEST_CASE("a clean clip has a page that says so, with no bands marked") {
  const ScratchFolder folder("footage-page-clean");
  const std::string clip = folder.file("a.y4m");
  REQUIRE(run_lampbeat("synth " + clip +
                       " --mains 60 --component 120:40 --fps 25 --shutter 1/60 --readout 16ms "
                       "--rows 180 --noise 1 --seconds 4")
              .exit_code == 0);
  const RunResult run =
      run_lampbeat("footage " + clip + " --light-hz 120 --report " + folder.file("clip.html"));
  INFO(run.out);
  REQUIRE(run.exit_code == 0);
  REQUIRE(holds(run.out, "Clean: no bands were found"));
  const std::string html = contents_of(folder.file("clip.html"));
  CHECK(holds(html, "Clean: no bands were found"));
  CHECK(holds(html, "smallest_seen_percent"));
  const std::size_t frame = html.find("clip-frame-desc");
  CHECK_FALSE(holds(html.substr(frame, html.find("</svg>", frame) - frame), "window-mark"));
}
