#include "capture/clock/time_unit.hpp"

#include <algorithm>
#include <array>
#include <string>
#include <vector>

namespace lampbeat::capture::clock {
namespace {

/// Lower-case words of letters; both Unicode micro signs and the one of Latin-1 become "u".
std::vector<std::string> words_of(std::string_view text) {
  std::vector<std::string> words(1);
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    const std::string_view two = text.substr(i, 2);
    if (two == "\xC2\xB5" || two == "\xCE\xBC") {
      words.back() += 'u';
      ++i;
    } else if (c == '\xB5') {
      words.back() += 'u';
    } else if (c >= 'A' && c <= 'Z') {
      words.back() += static_cast<char>(c - 'A' + 'a');
    } else if (c >= 'a' && c <= 'z') {
      words.back() += c;
    } else if (!words.back().empty()) {
      words.emplace_back();
    }
  }
  if (words.back().empty()) words.pop_back();
  return words;
}

template <std::size_t count>
bool contains(const std::array<std::string_view, count>& list, std::string_view word) {
  return std::find(list.begin(), list.end(), word) != list.end();
}

constexpr std::array<std::string_view, 7> time_words = {"timestamp", "elapsed", "time", "zeit",
                                                        "temps",     "tiempo",  "tempo"};

std::optional<TimeUnit> unit_named(std::string_view word) {
  struct Spelling {
    std::string_view word;
    TimeUnit unit;
  };
  constexpr TimeUnit s{1.0, "s"};
  constexpr TimeUnit ms{1e3, "ms"};
  constexpr TimeUnit us{1e6, "us"};
  constexpr TimeUnit ns{1e9, "ns"};
  constexpr TimeUnit min{1.0 / 60.0, "min"};
  static constexpr std::array spellings = {
      Spelling{"s", s},           Spelling{"sec", s},          Spelling{"secs", s},
      Spelling{"second", s},      Spelling{"seconds", s},      Spelling{"sekunden", s},
      Spelling{"ms", ms},         Spelling{"msec", ms},        Spelling{"msecs", ms},
      Spelling{"millis", ms},     Spelling{"millisecond", ms}, Spelling{"milliseconds", ms},
      Spelling{"us", us},         Spelling{"usec", us},        Spelling{"usecs", us},
      Spelling{"micros", us},     Spelling{"microsecond", us}, Spelling{"microseconds", us},
      Spelling{"ns", ns},         Spelling{"nsec", ns},        Spelling{"nanos", ns},
      Spelling{"nanosecond", ns}, Spelling{"nanoseconds", ns}, Spelling{"min", min},
      Spelling{"minute", min},    Spelling{"minutes", min}};
  for (const Spelling& spelling : spellings) {
    if (spelling.word == word) return spelling.unit;
  }
  return std::nullopt;
}

}  // namespace

TimeHeading read_time_heading(std::string_view heading) {
  TimeHeading read;
  const std::vector<std::string> words = words_of(heading);
  bool only_units = true;
  for (const std::string& word : words) {
    if (word == "in") continue;  // "in s"
    if (const auto unit = unit_named(word)) {
      read.unit = unit;
      continue;
    }
    only_units = false;
    if (word == "t" || contains(time_words, word)) {
      read.names_time = true;
      continue;
    }
    for (const std::string_view start : time_words) {  // "timeMs", "timestampus"
      if (word.size() > start.size() && word.compare(0, start.size(), start) == 0) {
        if (const auto unit = unit_named(std::string_view(word).substr(start.size()))) {
          read.names_time = true;
          read.unit = unit;
        }
      }
    }
  }
  read.names_time = read.names_time || (only_units && read.unit);
  if (!read.names_time) read.unit.reset();
  return read;
}

std::optional<TimeUnit> read_time_unit(std::string_view cell) {
  const std::vector<std::string> words = words_of(cell);
  return words.size() == 1 ? unit_named(words.front()) : std::nullopt;
}

bool is_unit(std::string_view cell) {
  static constexpr std::array<std::string_view, 20> units = {
      "v",   "volt", "volts",  "mv",  "uv",  "a",   "ma",  "ua", "na", "ampere",
      "lux", "lx",   "counts", "raw", "lsb", "adc", "klx", "w",  "cd", "percent"};
  const std::vector<std::string> words = words_of(cell);
  if (words.empty()) return cell == "%" || cell == "(%)" || cell == "[%]" || cell == "-";
  return words.size() == 1 && (unit_named(words.front()) || contains(units, words.front()));
}

bool names_row_number(std::string_view heading) {
  static constexpr std::array<std::string_view, 13> names = {
      "sample", "samples", "index",  "idx", "no",     "nr", "n",
      "row",    "point",   "points", "id",  "record", "i"};
  const std::vector<std::string> words = words_of(heading);
  if (words.empty()) return heading == "#";
  static constexpr std::array<std::string_view, 7> numbers = {"number", "no",  "nr", "num",
                                                              "index",  "idx", "id"};
  static constexpr std::array<std::string_view, 6> counters = {"frame",   "frames", "framenumber",
                                                               "counter", "seq",    "sequence"};
  if (contains(counters, words.front())) {
    return words.size() == 1 || (words.size() == 2 && contains(numbers, words.back()));
  }
  return contains(names, words.front()) && words.size() <= 2;
}

}  // namespace lampbeat::capture::clock
