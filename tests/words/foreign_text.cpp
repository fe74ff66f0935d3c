#include <string>

#include "support/catch.hpp"
#include "words/columns.hpp"
#include "words/foreign_text.hpp"
#include "words/spelling.hpp"

namespace words = lampbeat::words;

TEST_CASE("a terminal is shown what cannot be seen byte by byte") {
  CHECK(words::for_terminal("Küche 灯光, 45 %") == "Küche 灯光, 45 %");
  CHECK(words::for_terminal("a\x1b[31m\tb\nc") == "a\\x1B[31m\\tb\nc");
  CHECK(words::for_terminal("gpj\u202E.exe") == "gpj\\xE2\\x80\\xAE.exe");
  CHECK(words::for_terminal("a\xFFz") == "a\\xFFz");
  CHECK(words::for_terminal("a\xC0\xAFz") == "a\\xC0\\xAFz");       // overlong "/"
  CHECK(words::for_terminal("\xED\xA0\x80") == "\\xED\\xA0\\x80");  // a surrogate
  CHECK(words::for_terminal("a\xE2\x82") == "a\\xE2\\x82");         // cut off
}

TEST_CASE("a name has no line breaks, and a long one keeps both its ends") {
  CHECK(words::shown_name("a\nb") == "a\\x0Ab");
  CHECK(words::shown_name(std::string(60, 'x')) == std::string(60, 'x'));
  const std::string shown = words::shown_name("front" + std::string(100, 'x') + "end.wav");
  CHECK(shown.substr(0, 5) == "front");
  CHECK(shown.substr(shown.size() - 7) == "end.wav");
  CHECK(words::columns(shown) <= 60);
  std::string wide;
  for (int i = 0; i < 50; ++i) wide += "灯";
  CHECK(words::columns(words::shown_name(wide, 21)) == 21);
}

TEST_CASE("an error message shows the beginning of a cell in quotes") {
  CHECK(words::quoted("12\t3") == "\"12\\t3\"");
  CHECK(words::quoted("hot µs") == "\"hot µs\"");
  CHECK(words::quoted(std::string(40, 'x')) == "\"" + std::string(40, 'x') + "\"");
  CHECK(words::quoted(std::string(41, 'x')) == "\"" + std::string(40, 'x') + "...\"");
  std::string marks;
  for (int i = 0; i < 1000; ++i) marks += "\u0301";
  CHECK(words::excerpt(marks).size() < 100);
}

TEST_CASE("a slip of the finger is one edit for each letter") {
  CHECK(words::edits_between("", "lamp") == 4);
  CHECK(words::edits_between("predict", "predict") == 0);
  CHECK(words::edits_between("predcit", "predict") == 2);
  CHECK(words::edits_between("kitten", "sitting") == 3);  // Levenshtein's textbook pair
}
