#include <fmt/format.h>

#include <map>
#include <optional>
#include <random>
#include <regex>

#include "cli/contract.hpp"
#include "support/draws.hpp"
#include "words/numbers.hpp"
#include "words/units.hpp"

// One story of figures: what a screen says twice it says alike, its advice follows its table, and
// both follow the JSON of the same case.

using namespace lampbeat::test;
namespace words = lampbeat::words;

namespace {

/// Lines joined as they were before they were wrapped, a blank between words.
std::string unwrapped(const std::string& text) {
  return std::regex_replace(text, std::regex("\\s+"), " ");
}

std::optional<std::smatch> found(const std::string& text, const std::string& pattern) {
  std::smatch match;
  if (!std::regex_search(text, match, std::regex(pattern))) return std::nullopt;
  return match;
}

/// Every first group of the pattern.
std::vector<std::string> all(const std::string& text, const std::string& pattern) {
  const std::regex regex(pattern);
  std::vector<std::string> groups;
  for (std::sregex_iterator it(text.begin(), text.end(), regex), end; it != end; ++it) {
    groups.push_back((*it)[1]);
  }
  return groups;
}

/// The rows of a table of figures: label, then what stands beside it.
std::map<std::string, std::string> rows_of(const std::string& text) {
  std::map<std::string, std::string> rows;
  std::istringstream lines(text);
  std::string label;
  for (std::string line; std::getline(lines, line);) {
    if (line.rfind("What", 0) == 0) break;
    std::smatch match;
    if (std::regex_match(line, match, std::regex("  (\\w[\\w ]*?)   +(.*)"))) {
      label = match[1];
      rows[label] = match[2];
    } else if (line.rfind("   ", 0) == 0 && !label.empty()) {
      rows[label] += " " + line;
    }
  }
  for (auto& [name, value] : rows) value = unwrapped(value);
  return rows;
}

constexpr const char* percent_pattern = "((?:under )?[0-9.]+ %)";

/// A light and a shot, as typed.
struct Case {
  std::string lights;
  std::string fps;
  std::string shutter;
  std::string readout;
};

Case drawn(std::mt19937& random) {
  const auto pick = [&](std::initializer_list<const char*> of) {
    return std::string(of.begin()[random() % of.size()]);
  };
  Case c;
  c.lights = "--typical " + pick({"tube-magnetic", "halogen", "tungsten", "compact-magnetic",
                                  "compact-fluorescent", "led-steady"});
  c.lights += pick({" --mains 50", " --mains 60"});
  if (often(random, 0.3)) c.lights += " --typical tungsten:" + pick({"1", "2.5", "9"});
  c.fps = pick({"23.976", "24", "25", "29.97", "30", "50", "59.94", "120", "240"});
  c.shutter = pick({"180deg", "172.8deg", "90deg", "345.6deg", "1/250", "1/500", "1/1000"});
  if (often(random, 0.5)) c.readout = " --readout " + pick({"4ms", "global"});
  return c;
}

std::string words_of(double percent) { return words::percent(percent); }

double deeper(const Json& recorded) {
  return std::max(recorded.at("band_percent").get<double>(),
                  recorded.at("pulse_percent").get<double>());
}

}  // namespace

TEST_CASE("a prediction's screen tells one story: headline, table, advice and JSON") {
  std::mt19937 random(8101);
  for (int i = 0; i < draws(120); ++i) {
    const Case c = drawn(random);
    const std::string asked = "predict " + c.lights + " --fps " + c.fps + c.readout + " --shutter ";
    const std::string text = run_lampbeat(asked + c.shutter).out;
    const Json json = answer(asked + c.shutter);
    const Json& worst = json.at("worst");
    const std::string said = unwrapped(text);
    auto rows = rows_of(text);
    INFO(asked << c.shutter << "\n" << text);

    std::string verdict = worst.at("verdict");
    verdict[0] = static_cast<char>(std::toupper(verdict[0]));
    CHECK(text.rfind(verdict + ":", 0) == 0);
    // Digits and no exponents, and never a clean picture at the edge of borderline.
    CHECK_FALSE(found(said, "[0-9]e[+-]?[0-9]"));
    const bool global = json.at("readout_s") == 0.0;
    if (!global) CHECK(rows["bands"].rfind(words_of(json.at("band_percent")), 0) == 0);
    CHECK(rows["pulsing"].rfind(words_of(json.at("pulse_percent")), 0) == 0);
    if (json.at("verdict") == "clean") CHECK(std::stod(rows["visibility"]) < 0.6);
    if (json.at("verdict") != "clean") CHECK(std::stod(rows["visibility"]) >= 0.6);

    // What remains is what the table says remains, now or at worst.
    const std::string now_bands = words_of(json.at("band_percent"));
    const std::string now_pulsing = words_of(json.at("pulse_percent"));
    const std::string worst_bands = words_of(worst.at("band_percent"));
    const std::string worst_pulsing = words_of(worst.at("pulse_percent"));
    for (const char* kind : {"bands", "pulsing"}) {
      const bool bands = kind == std::string("bands");
      for (const std::string& left :
           all(said, std::string(percent_pattern) + " of the light remains as " + kind)) {
        CHECK((left == (bands ? now_bands : now_pulsing) ||
               left == (bands ? worst_bands : worst_pulsing)));
        if (json.at("verdict") == worst.at("verdict")) {
          CHECK(found(text.substr(0, text.find("\n\n")), kind));
        }
      }
    }
    for (const char* phrase :
         {"at worst {} remains", "leaves at most {} of the light", "\\({} left\\)"}) {
      for (const std::string& left :
           all(said, fmt::format(fmt::runtime(phrase), percent_pattern))) {
        CHECK(left == words_of(deeper(worst)));
      }
    }
    if (rows.count("mains drift")) {
      CHECK(rows["mains drift"].rfind(words_of(deeper(worst)), 0) == 0);
      CHECK(found(rows["mains drift"], ": " + worst.at("verdict").get<std::string>() + "$"));
    }

    // One roll: the sign of the figure is the direction in words, and the figure is the JSON's.
    if (const auto roll = found(rows["bands"],
                                "rolling (down|up) at [0-9.]+ picture heights a "
                                "second \\(([^ ]+) Hz\\)")) {
      const double hz = json.at("roll_hz");
      CHECK((*roll)[2] == words::in_digits(hz, 3));
    }
    const std::vector<std::string> times = all(said, "([0-9.]+) times a second[^;]");
    for (const std::string& n : times) {
      if (n == words::in_digits(worst.value("pulse_hz", 0.0), 3)) continue;
      CHECK(n == words::in_digits(json.at("pulse_hz").get<double>(), 3));
    }

    // What is advised is clean when it is asked for, and reads so.
    if (const auto set = found(said, "Set ([^ ]+) [^:]*: the nearest clean shutter at")) {
      std::string shutter = (*set)[1];
      if (shutter.find("°") != std::string::npos) {
        shutter = shutter.substr(0, shutter.find("°")) + "deg";
      }
      const Json then = answer(asked + shutter);
      CHECK(then.at("worst").at("verdict") == "clean");
      CHECK(then.at("worst").at("visibility").get<double>() < 0.6);
    }
  }
}

TEST_CASE("a plan's screen ranks as its JSON does, and its advice names the first of its table") {
  std::mt19937 random(8102);
  for (int i = 0; i < draws(60); ++i) {
    const Case c = drawn(random);
    const bool single = i % 2 == 0;
    const std::string asked = "shutters " + c.lights + c.readout + " --fps " +
                              (single ? c.fps : std::string("24,25,30,50"));
    const std::string text = run_lampbeat("" + asked).out;
    const Json json = answer(asked);
    const std::string said = unwrapped(text);
    INFO(asked << "\n" << text);
    CHECK_FALSE(found(said, "[0-9]e[+-]?[0-9]"));

    // Row by row: the label, its verdict and what is left, in the order of the JSON.
    std::map<std::string, std::vector<Json>> by_rate;
    for (const Json& s : json.at("settings")) {
      by_rate[words::in_decimals_at_most(s.at("fps").get<double>(), 3)].push_back(s);
    }
    std::map<std::string, std::smatch> first_row;
    std::map<std::string, std::string> first_line;
    std::istringstream lines(text);
    std::string rate;
    std::size_t row = 0;
    for (std::string line; std::getline(lines, line) && line.rfind("What to do", 0) != 0;) {
      if (const auto heading = found(line, "^([0-9.]+) fps$")) {
        rate = (*heading)[1];
        row = 0;
        continue;
      }
      std::smatch cells;
      const std::regex shape("  (\\S+)  .*?  (clean|borderline|visible|strong) +" +
                             std::string(percent_pattern) + ".*");
      const std::regex angle_shape("  (\\S+) +(clean|borderline|visible|strong) +" +
                                   std::string(percent_pattern) + ".*");
      if (rate.empty() ||
          !(std::regex_match(line, cells, shape) || std::regex_match(line, cells, angle_shape))) {
        continue;
      }
      REQUIRE(row < by_rate[rate].size());
      const Json& s = by_rate[rate][row];
      CHECK(cells[1] == s.at("label").get<std::string>());
      CHECK(cells[2] == s.at("verdict").get<std::string>());
      if (row == 0) first_line[rate] = line;
      ++row;
    }
    REQUIRE_FALSE(first_line.empty());

    const auto begins_with = [&](const std::string& at, const std::string& label) {
      return first_line.count(at) && first_line[at].rfind("  " + label + " ", 0) == 0;
    };
    if (const auto set = found(said, "Set (\\S+) [^:]*: clean at ([0-9.]+) fps"); set && single) {
      CHECK(begins_with((*set)[2], (*set)[1]));
    }
    if (const auto best =
            found(said,
                  "At ([0-9.]+) fps the (?:best clean shutter|clean shutter closest to the "
                  "usual 180°) is (\\S+) ")) {
      CHECK(begins_with((*best)[1], (*best)[2]));
    }
    if (const auto least = found(said,
                                 "The least bad at ([0-9.]+) fps is (\\S+) [^:]*: (\\w+), "
                                 "with " +
                                     std::string(percent_pattern))) {
      CHECK(begins_with((*least)[1], (*least)[2]));
      CHECK(found(first_line[(*least)[1]], (*least)[3].str() + " +" + (*least)[4].str()));
    }
    // What serves several frame rates is clean at each of them.
    if (const auto serves = found(said, "- ([0-9]+/[0-9.]+) s serves ([0-9., and]+) fps alike")) {
      for (const std::string& at : all((*serves)[2].str() + " ", "([0-9.]+)[, ]")) {
        const auto& there = by_rate[at];
        CHECK(std::any_of(there.begin(), there.end(), [&](const Json& s) {
          return s.at("label") == (*serves)[1].str() && s.at("verdict") == "clean";
        }));
      }
    }
  }
}

TEST_CASE("a measurement's screen words its percent flicker and its rhythm the same throughout") {
  std::mt19937 random(8103);
  const ScratchFolder folder("one-story");
  const std::string wav = folder.file("lamp.wav");
  for (int i = 0; i < draws(60); ++i) {
    const double hz = i % 3 == 0 ? 100.0 : i % 3 == 1 ? 120.0 : logarithmic(random, 150.0, 900.0);
    const double percent = logarithmic(random, 0.5, 60.0);
    const std::string made = fmt::format(
        "synth {} --component {:.3f}:{:.3f} --component {:.3f}:{:.3f} --seconds 2 --rate 20000 "
        "--seed {}",
        wav, hz, percent, 2.0 * hz, 0.2 * percent, i);
    REQUIRE(run_lampbeat(made).exit_code == 0);
    const std::string text = run_lampbeat("measure " + wav).out;
    const Json json = answer("measure " + wav);
    INFO(made << "\n" << text);
    if (json.at("percent_flicker").is_null() || json.at("dominant_hz").is_null()) continue;
    auto rows = rows_of(text);
    const std::string flicker = words_of(json.at("percent_flicker"));
    const std::string rhythm = words::hertz(json.at("dominant_hz"));
    CHECK(found(unwrapped(text), "flickers by " + flicker + " at " + rhythm));
    CHECK_FALSE(found(unwrapped(text), "[0-9]e[+-]?[0-9]"));
    // The row gives more digits, as its ± supports; they round to what the headline says.
    CHECK(std::abs(std::stod(rows["percent flicker"]) - std::stod(flicker)) <= 0.0501);
    CHECK(std::abs(std::stod(rows["strongest rhythm"]) - std::stod(rhythm)) <=
          0.5001 * std::pow(10.0, std::floor(std::log10(hz)) - 4.0));
    if (const auto ieee = found(rows["IEEE 1789"], std::string(percent_pattern) + " at ([^;]+);")) {
      const double worst = json.at("ieee1789").at("percent");
      CHECK((*ieee)[1] == words_of(worst));
      CHECK((*ieee)[2] == words::hertz(json.at("ieee1789").at("hz")));
    }
  }
}
