#include <sstream>
#include <string>

#include "support/catch.hpp"
#include "words/columns.hpp"
#include "words/table.hpp"
#include "words/wrapping.hpp"

namespace words = lampbeat::words;

TEST_CASE("columns are what a terminal takes") {
  CHECK(words::columns("lamp") == 4);
  CHECK(words::columns("± 5 µs │ 180°") == 13);
  CHECK(words::columns("灯光") == 4);          // wide
  CHECK(words::columns("e\u0301") == 1);       // a combining accent
  CHECK(words::columns("\u2588\u28FF") == 2);  // blocks and braille, as the plots use
  CHECK(words::columns("a\xFF") == 2);         // a stray byte is shown as one
}

TEST_CASE("a text is cut between characters, an accent goes with its letter") {
  CHECK(words::front("灯光灯", 5) == "灯光");
  CHECK(words::back("灯光灯", 5) == "光灯");
  CHECK(words::front("cafe\u0301s", 4) == "cafe\u0301");
  CHECK(words::back("e\u0301s", 1) == "s");
  CHECK(words::padded("灯", 4) == "灯  ");
  CHECK(words::padded("lamp", 2) == "lamp");
}

TEST_CASE("wrapped lines fit, lose no word and keep a figure with its unit") {
  const std::string text =
      "The light swings 45.4 % about its middle, 120.04 Hz, 灯光 on a screen of 100 cd/m² or so.";
  for (int width = 16; width < 60; ++width) {
    const std::string wrapped = words::wrapped(text, width, "  - ");
    std::string again;
    std::istringstream lines(wrapped);
    for (std::string line; std::getline(lines, line);) {
      INFO(line);
      CHECK(words::columns(line) <= width);
      CHECK(line.substr(0, 4) == (again.empty() ? "  - " : "    "));
      again += (again.empty() ? "" : " ") + line.substr(4);
    }
    CHECK(again == text);
    CHECK(wrapped.find("45.4 %") != std::string::npos);
    CHECK(wrapped.find("100 cd/m²") != std::string::npos);
  }
  CHECK(words::wrapped("a b\nc\td", 100, "> ", 4) == "> a b c d");
  CHECK(words::wrapped("aaa bbb", 6, "> ", 1) == "> aaa\n bbb");
}

TEST_CASE("the columns of a table line up under wide characters") {
  const std::string table = words::table({{"light", "灯光", "one"}, {"a", "bb", "two"}}, {});
  CHECK(table == "  light   灯光   one\n  a       bb     two\n");
}

TEST_CASE("a remark for which a long value leaves no room stands below it") {
  lampbeat::TextStyle style;
  style.width = 40;
  const std::string table =
      words::table({{"a", "bb", "one"}, {"b", "a value that is long", "two"}}, style);
  CHECK(table == "  a   bb   one\n  b   a value that is long\n           two\n");
}
