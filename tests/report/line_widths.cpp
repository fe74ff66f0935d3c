// What is shown in a terminal stays within its width, whatever the names.

#include <functional>
#include <sstream>
#include <string>
#include <vector>

#include "lampbeat/advice.hpp"
#include "lampbeat/text.hpp"
#include "report/example_values.hpp"
#include "support/catch.hpp"
#include "words/columns.hpp"

using namespace lampbeat;

namespace {

std::string repeated(const std::string& part, int times) {
  std::string text;
  for (int i = 0; i < times; ++i) text += part;
  return text;
}

/// Names people and programs give: short, one long word, wide characters, combining marks, words.
const std::vector<std::string> names = {
    "panel.wav",       "\x1b[31mred\n" + repeated("w", 200),       repeated("灯", 90),
    repeated("é", 59), repeated("Küchenlampe über der Theke ", 9), repeated("x", 60)};

void require_fit(const std::string& text, int width) {
  CHECK(text.find('\x1b') == text.npos);
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) {
    INFO(width << " columns: " << line);
    REQUIRE(words::columns(line) <= width);
  }
}

/// Calls back at every width from a narrow terminal to a wide one.
void at_each_width(const std::function<std::string(const TextStyle&)>& text_at) {
  for (int width = 60; width <= 120; ++width) require_fit(text_at({width, false, true}), width);
}

}  // namespace

TEST_CASE("a ranking fits the terminal and names every failure") {
  for (const std::string& name : names) {
    ShelfRating shelf = example::shelf();
    for (FixtureRating& f : shelf.fixtures) {
      f.fixture = name;
      f.level.clear();
      f.capture = name;
      f.captures = 3;
    }
    shelf.fixtures.back().percent_flicker = 0.0000123;
    at_each_width([&](const TextStyle& style) { return to_text(shelf, style); });
    const std::string text = to_text(shelf, {60, false, true});
    CHECK(text.find("no such file") != text.npos);
    CHECK(text.find("worst of 3 captures") != text.npos);
  }
}

TEST_CASE("a ranking shows depth and rhythm wherever they leave room for names") {
  const ShelfRating shelf = example::shelf();
  CHECK(to_text(shelf, {69, false, true}).find("flicker") == std::string::npos);
  CHECK(to_text(shelf, {70, false, true}).find("flicker") != std::string::npos);
  CHECK(to_text(shelf, {81, false, true}).find("strongest") == std::string::npos);
  CHECK(to_text(shelf, {82, false, true}).find("strongest") != std::string::npos);
}

TEST_CASE("a measurement fits the terminal") {
  for (const std::string& name : names) {
    Measurement m = example::panel();
    m.capture = name;
    for (const auto& filming :
         {std::optional<FilmingRating>(), std::optional(FilmingRating{}), rate_for_filming(m)}) {
      at_each_width([&](const TextStyle& style) { return to_text(m, filming, style); });
    }
  }
}

TEST_CASE("a prediction fits the terminal, under one light and under several") {
  for (const std::string& name : names) {
    Light panel = example::panel_light();
    panel.name = name;
    Light dimmer = example::panel_light();
    dimmer.name = name + " 2";
    dimmer.components = {{66000.0, 0.4, 0.0, std::nullopt}, {123.4, 0.2, 0.0, std::nullopt}};
    for (const auto& lights : {std::vector<LightShare>{{panel, 1.0}},
                               std::vector<LightShare>{{panel, 0.3}, {dimmer, 0.7}}}) {
      for (const double readout_s : {0.0, 0.016}) {
        const Prediction p = predict(lights, shot_of({24, 1}, 1.0 / 333.0, readout_s), {});
        const std::vector<std::string> advice = advise(p);
        at_each_width([&](const TextStyle& style) { return to_text(p, advice, style); });
      }
    }
  }
}

TEST_CASE("a plan fits the terminal") {
  for (const std::string& name : names) {
    ShutterPlan plan = example::kitchen_plan(example::dial());
    for (LightShare& l : plan.lights) l.light.name = name;
    const std::vector<std::string> advice = advise(plan);
    at_each_width([&](const TextStyle& style) { return to_text(plan, advice, style, 20); });
  }
}

TEST_CASE("a comparison fits the terminal, and what is worse stands first") {
  std::vector<Comparison> year = example::a_year();
  for (const std::string& name : names) {
    for (Comparison& c : year) {
      c.fixture = name;
      if (c.before) c.before->source = name;
      if (c.after) c.after->source = name;
    }
    at_each_width([&](const TextStyle& style) { return to_text(year, style); });
    at_each_width([&](const TextStyle& style) { return to_text({year.front()}, style); });
  }
  year = example::a_year();
  year.front().fixture = "the first";
  const std::string text = to_text(year, {100, false, true});
  CHECK(text.rfind("Of 6 fixtures, 2 worse, 2 unknown, 1 better and 1 unchanged.", 0) == 0);
  CHECK(text.find("range hood: worse") < text.find("the first: unknown"));
}
