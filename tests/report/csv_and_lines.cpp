#include <algorithm>
#include <filesystem>

#include "lampbeat/csv.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/json.hpp"
#include "lampbeat/measurement_line.hpp"
#include "lampbeat/rating.hpp"
#include "lampbeat/shelf_file.hpp"
#include "lampbeat/terminal_plot.hpp"
#include "report/example_values.hpp"
#include "support/catch.hpp"
#include "support/scratch.hpp"

using namespace lampbeat;
using lampbeat::test::scratch_file;

namespace {

std::string refusal(const std::string& text) {
  try {
    read_shelf(scratch_file("refused.csv", text));
  } catch (const InputError& error) {
    return error.what();
  }
  return "accepted";
}

}  // namespace

TEST_CASE("a shelf file is read by its header, quotes and all, paths beside it") {
  const auto path = scratch_file("shelf.csv",
                                 "\xEF\xBB\xBF"
                                 "Notes,FIXTURE,capture,dark,level\r\n"
                                 "\"hums, a \"\"little\"\"\",pendant,p full.wav,0.01,full\r\n"
                                 "\r\n"
                                 ",pendant,/abs/p.wav,dark.wav,20 %\r\n");
  const std::string beside = std::filesystem::path(path).parent_path().string();
  CHECK(is_shelf(path));
  const auto shelf = read_shelf(path);
  REQUIRE(shelf.size() == 2);
  CHECK(shelf[0].notes == "hums, a \"little\"");
  CHECK(shelf[0].capture == beside + "/p full.wav");
  CHECK(shelf[0].dark == "0.01");
  CHECK(shelf[1].capture == "/abs/p.wav");
  CHECK(shelf[1].dark == beside + "/dark.wav");
  CHECK(shelf[1].level == "20 %");
}

TEST_CASE("a faulty shelf file is refused with its line") {
  using Catch::Matchers::Contains;
  CHECK_THAT(refusal("name,file\n"), Contains("line 1"));
  CHECK_THAT(refusal("fixture,capture\na,b\nc\n"),
             Contains("line 3") && Contains("capture's path"));
  CHECK_THAT(refusal("fixture,capture\na,b,c\n"), Contains("line 2") && Contains("3 cells"));
  CHECK_THAT(refusal("fixture,capture\n\"a,b\n"), Contains("line 2") && Contains("never closed"));
  CHECK_THAT(refusal("fixture,capture\n\"a\"x,b\n"), Contains("closing quote"));
  CHECK_THAT(refusal("fixture,capture\n"), Contains("no fixture"));
}

TEST_CASE("cells that a spreadsheet would run as formulas are written as text") {
  for (const char* start : {"=", "+", "-", "@", "\t=", "\r="}) {
    ShelfRating rating;
    rating.failed = {{std::string(start) + "1+1", "a,\"b\"\nc", "why"}};
    const std::string csv = to_csv(rating);
    const std::string row = csv.substr(csv.find('\n') + 1);
    CHECK(row.rfind(",\"'", 0) == 0);
    CHECK(row.find("\"a,\"\"b\"\" c\"") != row.npos);
  }
}

TEST_CASE("a measurement read back from its line rates as the measurement itself") {
  const Measurement m = example::panel();
  const Measurement back = read_measurement_line(to_json(m));
  CHECK(back.capture == m.capture);
  CHECK(back.percent_flicker == m.percent_flicker);
  CHECK(back.components.size() == m.components.size());
  CHECK(back.components[1].phase_deg == m.components[1].phase_deg);
  CHECK(back.components[1].mains_order == m.components[1].mains_order);
  CHECK(back.components[3].kind == ComponentKind::free_running);
  CHECK(back.ieee->level == m.ieee->level);
  CHECK(back.standards.size() == m.standards.size());
  const auto one = rate_capture(m, 0.016, {});
  const auto two = rate_capture(back, 0.016, {});
  CHECK(compare_ratings(one, two) == 0);
  CHECK(one.svm == two.svm);
}

TEST_CASE("lines that are no measurement are refused in words") {
  for (const char* line :
       {"{", "[1]", "{\"schema\":\"lampbeat.light/1\"}", "{\"schema\":7}",
        "{\"schema\":\"lampbeat.measure/1\",\"svm\":\"high\"}",
        "{\"schema\":\"lampbeat.measure/1\",\"components\":[{\"hz\":-1}]}",
        "{\"schema\":\"lampbeat.measure/1\",\"components\":[{\"hz\":9,\"kind\":\"loud\"}]}",
        "{\"schema\":\"lampbeat.measure/1\",\"ieee1789\":{\"level\":\"no risk\"}}",
        "{\"schema\":\"lampbeat.measure/1\",\"components\":7}", "{\"schema\":\"\xff\"}"}) {
    INFO(line);
    CHECK_THROWS_AS(read_measurement_line(line), InputError);
  }
}

TEST_CASE("the terminal plot keeps to the width and, without Unicode, to ASCII") {
  const Measurement m = example::panel();
  for (const int width : {40, 63, 80, 100}) {
    for (const bool unicode : {true, false}) {
      const std::string plot = terminal_plot(m, {width, false, unicode});
      int columns = 0;
      int widest = 0;
      bool ascii = true;
      for (const char c : plot) {
        const auto byte = static_cast<unsigned char>(c);
        ascii = ascii && byte < 0x80;
        if (c == '\n')
          columns = 0;
        else if ((byte & 0xC0U) != 0x80U)
          widest = std::max(widest, ++columns);
      }
      CHECK(widest <= width);
      CHECK(ascii == !unicode);
      CHECK(plot.find("120 Hz") != plot.npos);
    }
  }
  CHECK(terminal_plot(Measurement{}, {}).find("no cycle to draw") != std::string::npos);
}
