// Thousands of seeded mutations of valid captures: whatever comes in, samples or a message go out.
// What a change leaves valid is read, with the samples that are in it and no others.

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <random>
#include <string>
#include <string_view>
#include <vector>

#include <fmt/format.h>

#include "capture/sound/sound_file_writer.hpp"
#include "lampbeat/capture.hpp"
#include "lampbeat/error.hpp"
#include "support/catch.hpp"
#include "support/draws.hpp"
#include "support/read_all.hpp"
#include "support/scratch.hpp"
#include "support/wav_bytes.hpp"

namespace {

using namespace lampbeat;
using namespace lampbeat::test;
using namespace std::string_view_literals;

std::string sound(const char* name, capture::sound::SoundFormat format) {
  const std::string path = scratch_file(name, "");
  std::vector<double> value(3000);
  for (std::size_t i = 0; i < value.size(); ++i) {
    value[i] = 0.3 + 0.1 * std::sin(0.04 * static_cast<double>(i)) +
               0.001 * static_cast<double>(i * 7919 % 13);
  }
  capture::sound::SoundFileWriter writer(path, format, 20000);
  writer.write(value);
  writer.close();
  return contents_of(path);
}

std::string table(const char* heading, char separator, int decimals) {
  std::string text = heading;
  for (int i = 0; i < 120; ++i) {
    text += fmt::format("{:.{}f}{}{}\n", i * 0.0005, decimals, separator, 500 + i * 37 % 91);
  }
  return text;
}

std::string numbered(const char* above, const char* behind) {
  std::string text = above;
  for (int i = 1; i < 120; ++i) text += fmt::format("{},{}{}\n", i, 500 + i * 37 % 91, behind);
  return text;
}

std::vector<std::string> seeds() {
  std::string comma = table("Zeit (s);Licht\r\n", ';', 4);
  for (char& c : comma) {
    if (c == '.') c = ',';
  }
  return {table("time_s,light\n", ',', 4),
          table("# note\nmodel,x\n\ntime,ch1\n(s),(V)\n", ',', 6),
          comma,
          table("", '\t', 5),
          table("Sample Interval,5e-04,s\nVertical Scale,0.2\n\nTime (s),Volt\n", ',', 3),
          numbered("X,CH1,Start,Increment\nSequence,Volt,0,5.0e-04\n", ",,"),
          numbered("Export 7,\n# sampling rate: 2 kHz\nPoint,in V\n,\n0,\n", ""),
          table("\"t (s)\" \"v\"\n", ' ', 5),
          sound("f.wav", capture::sound::SoundFormat::wav_float),
          sound("i.wav", capture::sound::SoundFormat::wav_16),
          sound("x.flac", capture::sound::SoundFormat::flac_16)};
}

/// Some bytes changed, cut out, doubled, or taken over from another valid file.
std::string mutated(const std::string& seed, const std::string& other, std::mt19937& random) {
  const auto below = [&](std::size_t n) {
    return static_cast<std::size_t>(random() % std::max<std::size_t>(n, 1));
  };
  static constexpr std::string_view spice = "\0\n\r,;\t \"#-+.eE:0123456789nan\xFF\xB5\x1B"sv;
  std::string bytes = seed;
  // The first bytes decide most; half of the changes go there.
  const auto place = [&] {
    return below(random() % 2 ? std::min<std::size_t>(bytes.size(), 80) : bytes.size());
  };
  for (std::size_t left = 1 + below(6); left > 0 && !bytes.empty(); --left) {
    switch (random() % 7) {
      case 0:
        bytes[place()] = static_cast<char>(random());
        break;
      case 1:
        bytes[place()] = spice[below(spice.size())];
        break;
      case 2:
        bytes[place()] = static_cast<char>(random() % 2 ? 0xFF : 0x00);
        break;
      case 3:
        bytes.resize(place() + 1);
        break;
      case 4: {
        const std::size_t at = place();
        bytes.erase(at, 1 + below(16));
        break;
      }
      case 5: {
        const std::string piece = bytes.substr(place(), 1 + below(40));
        bytes.insert(place(), piece);
        break;
      }
      default: {
        const std::string piece = other.substr(below(other.size()), 1 + below(60));
        bytes.insert(place(), piece);
      }
    }
  }
  return bytes;
}

struct Tally {
  int read = 0;
  int refused = 0;
  int misused = 0;
};

/// A refusal names the file, and where in it the trouble is or what the file is instead.
void require_place(const std::string& message, const std::string& path) {
  static constexpr std::string_view places[] = {"line ",
                                                "column",
                                                "byte ",
                                                "bytes",
                                                "sample",
                                                "header",
                                                "the part that was asked for",
                                                "empty",
                                                "cut off",
                                                "damaged",
                                                "same time",
                                                "UTF-16",
                                                "blank lines",
                                                "JSON",
                                                "picture",
                                                "web page",
                                                "clip",
                                                "workbook",
                                                "gzip",
                                                "WAVE",
                                                "lossy"};
  INFO(message);
  REQUIRE(message.rfind(path, 0) == 0);
  const std::string rest = message.substr(path.size());
  REQUIRE((rest.rfind(": ", 0) == 0 || rest.rfind(", ", 0) == 0));
  REQUIRE(std::any_of(std::begin(places), std::end(places), [&](std::string_view place) {
    return rest.find(place) != std::string::npos;
  }));
  REQUIRE(message.size() < 1500);
}

void read_once(const std::string& path, const CaptureOptions& options, Tally& tally) {
  try {
    const auto source = open_capture(path, options);
    std::size_t samples = 0;
    double last_s = 0.0;
    for (;;) {
      const SampleBlock block = source->next();
      if (block.value.empty()) break;
      samples += block.value.size();
      REQUIRE(samples < 10'000'000);
      REQUIRE(source->format().evenly_sampled == block.time_s.empty());
      REQUIRE((block.time_s.empty() || block.time_s.size() == block.value.size()));
      for (const double v : block.value) REQUIRE(std::isfinite(v));
      for (const double t : block.time_s) {
        REQUIRE(std::isfinite(t));
        REQUIRE(t >= last_s);
        last_s = t;
      }
    }
    REQUIRE(samples >= 2);
    ++tally.read;
  } catch (const InputError& error) {
    require_place(error.what(), path);
    ++tally.refused;
  } catch (const UsageError& error) {
    REQUIRE(std::string(error.what()).size() < 1500);
    ++tally.misused;
  }
}

/// A table that says the same in many hands, and what it says.
struct Table {
  std::string text;
  std::vector<double> time_s;
  std::vector<double> value;
};

/// Rows at even or uneven times, decorated in every way that leaves them what they are.
Table any_table(Random& random) {
  const auto below = [&](int n) { return static_cast<int>(random() % static_cast<unsigned>(n)); };
  const bool decimal_comma = below(4) == 0;
  const std::string separator =
      decimal_comma ? ";"
                    : std::vector<std::string>{",", "\t", ";"}[static_cast<std::size_t>(below(3))];
  const std::string end = below(3) == 0 ? "\r\n" : "\n";
  const std::string padding(static_cast<std::size_t>(below(3)), ' ');
  const bool quoted = below(5) == 0;
  const auto cell = [&](std::string number) {
    if (decimal_comma) std::replace(number.begin(), number.end(), '.', ',');
    return quoted ? "\"" + number + "\"" : padding + number;
  };
  Table table;
  if (below(3) == 0)
    table.text += "# " + std::string(static_cast<std::size_t>(below(90)), 'n') + end;
  table.text += "time_us" + separator + "light" + end;
  int at_us = 0;
  for (int row = 0; row < 60; ++row) {
    at_us += 400 + below(100);
    const double value = 500 + below(4000) / 8.0;  // exact in binary and in three decimals
    table.time_s.push_back(at_us * 1e-6);
    table.value.push_back(value);
    table.text += cell(std::to_string(at_us)) + separator +
                  cell(below(2) ? fmt::format("{:.3f}", value) : fmt::format("{:.6e}", value));
    if (row < 59 || below(2) == 0) table.text += end;
    if (row < 59 && below(25) == 0) table.text += below(2) ? end : "# dimmed a little" + end;
  }
  const double first_s = table.time_s.front();
  for (double& t : table.time_s) t -= first_s;
  return table;
}

}  // namespace

TEST_CASE("Mutated captures yield samples or a message, never anything else") {
  const std::vector<std::string> valid = seeds();
  const std::string path = scratch_file("mutant", "");
  std::mt19937 random(20310304);
  Tally tally;
  for (int round = 0; round < 6000; ++round) {
    const std::string& seed = valid[static_cast<std::size_t>(round) % valid.size()];
    const std::string bytes = mutated(seed, valid[random() % valid.size()], random);
    scratch_file("mutant", bytes);
    CaptureOptions options;
    if (random() % 3 == 0) options.rate_hz = 1000.0;
    if (random() % 6 == 0) options.from_s = 0.01;
    if (random() % 6 == 0) options.for_s = 0.02;
    options.skip_bad_rows = random() % 4 == 0;
    if (random() % 8 == 0) options.value_column = random() % 2 ? "2" : "light";
    INFO("round " << round << ", kept in " << path);
    read_once(path, options, tally);
  }
  // The mutations must reach all three ways out, or they try nothing.
  CHECK(tally.read > 500);
  CHECK(tally.refused > 500);
  CHECK(tally.misused > 20);
}

TEST_CASE("A change that leaves a table valid leaves every sample what it was") {
  Random random(1966);
  for (int round = 0; round < 500; ++round) {
    const Table table = any_table(random);
    const Reading reading = read_all(scratch_file("valid.csv", table.text));
    INFO("round " << round << ":\n" << table.text);
    REQUIRE(reading.value == table.value);
    REQUIRE(reading.time_s.size() == table.time_s.size());
    for (std::size_t i = 0; i < table.time_s.size(); ++i) {
      REQUIRE(std::abs(reading.time_s[i] - table.time_s[i]) < 1e-9);
    }
  }
}

TEST_CASE("A sound file with other samples or further chunks is read to its samples") {
  Random random(1991);
  for (int round = 0; round < 200; ++round) {
    std::vector<short> samples;
    std::vector<double> value;
    for (int i = 0; i < 500; ++i) {
      samples.push_back(static_cast<short>(random() & 0xFFFFU));
      value.push_back(samples.back() / 32768.0);
    }
    std::string bytes = wav_of_shorts(samples, 1, 48000);
    if (random() % 2) {  // a chunk for somebody else, before the samples or after them
      const auto length = static_cast<std::size_t>(2 * (random() % 50));
      const std::string chunk = "LIST" + little_endian(length, 4) + std::string(length, 'n');
      bytes.insert(random() % 2 ? bytes.find("data") : bytes.size(), chunk);
      bytes.replace(4, 4, little_endian(bytes.size() - 8, 4));
    }
    INFO("round " << round);
    REQUIRE(read_all(scratch_file("valid.wav", bytes)).value == value);
  }
}

TEST_CASE("Random bytes yield a message") {
  const std::string path = scratch_file("noise", "");
  std::mt19937 random(7);
  Tally tally;
  for (int round = 0; round < 500; ++round) {
    std::string bytes(random() % 2000, '\0');
    for (char& c : bytes) c = static_cast<char>(random());
    scratch_file("noise", bytes);
    INFO("round " << round << ", kept in " << path);
    read_once(path, {}, tally);
  }
  CHECK(tally.refused > 490);
}
