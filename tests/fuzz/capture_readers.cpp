// Thousands of seeded mutations of valid captures: whatever comes in, samples or a message go out.

#include <unistd.h>

#include <cmath>
#include <cstdint>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <random>
#include <string>
#include <string_view>
#include <vector>

#include <fmt/format.h>

#include "capture/sound/sound_file_writer.hpp"
#include "lampbeat/capture.hpp"
#include "lampbeat/error.hpp"
#include "support/catch.hpp"

namespace {

using namespace lampbeat;
using namespace std::string_view_literals;

const std::filesystem::path folder =
    std::filesystem::path(LAMPBEAT_TEST_TMP) / ("fuzz-" + std::to_string(::getpid()));

void put(const std::filesystem::path& path, const std::string& bytes) {
  std::filesystem::remove(path);  // some file systems wait for the disk when a file is overwritten
  std::ofstream(path, std::ios::binary)
      .write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
}

std::string get(const std::filesystem::path& path) {
  std::ifstream in(path, std::ios::binary);
  return std::string(std::istreambuf_iterator<char>(in), {});
}

std::string sound(const char* name, SoundFormat format) {
  const std::string path = (folder / name).string();
  std::vector<double> value(3000);
  for (std::size_t i = 0; i < value.size(); ++i) {
    value[i] = 0.3 + 0.1 * std::sin(0.04 * static_cast<double>(i)) +
               0.001 * static_cast<double>(i * 7919 % 13);
  }
  SoundFileWriter writer(path, format, 20000);
  writer.write(value);
  writer.close();
  return get(path);
}

std::string table(const char* heading, char separator, int decimals) {
  std::string text = heading;
  for (int i = 0; i < 120; ++i) {
    text += fmt::format("{:.{}f}{}{}\n", i * 0.0005, decimals, separator, 500 + i * 37 % 91);
  }
  return text;
}

std::vector<std::string> seeds() {
  std::filesystem::create_directories(folder);
  std::string comma = table("Zeit (s);Licht\r\n", ';', 4);
  for (char& c : comma) {
    if (c == '.') c = ',';
  }
  return {table("time_s,light\n", ',', 4),
          table("# note\nmodel,x\n\ntime,ch1\n(s),(V)\n", ',', 6),
          comma,
          table("", '\t', 5),
          table("\"t (s)\" \"v\"\n", ' ', 5),
          sound("f.wav", SoundFormat::wav_float),
          sound("i.wav", SoundFormat::wav_16),
          sound("x.flac", SoundFormat::flac_16)};
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
    REQUIRE(std::string(error.what()).size() < 1500);
    ++tally.refused;
  } catch (const UsageError& error) {
    REQUIRE(std::string(error.what()).size() < 1500);
    ++tally.misused;
  }
}

}  // namespace

TEST_CASE("Mutated captures yield samples or a message, never anything else") {
  const std::vector<std::string> valid = seeds();
  const std::string path = (folder / "mutant").string();
  std::mt19937 random(20310304);
  Tally tally;
  for (int round = 0; round < 6000; ++round) {
    const std::string& seed = valid[static_cast<std::size_t>(round) % valid.size()];
    const std::string bytes = mutated(seed, valid[random() % valid.size()], random);
    put(path, bytes);
    CaptureOptions options;
    if (random() % 3 == 0) options.rate_hz = 1000.0;
    if (random() % 6 == 0) options.from_s = 0.01;
    if (random() % 6 == 0) options.for_s = 0.02;
    if (random() % 8 == 0) options.value_column = random() % 2 ? "2" : "light";
    INFO("round " << round << ", kept in " << path);
    read_once(path, options, tally);
  }
  // The mutations must reach all three ways out, or they try nothing.
  CHECK(tally.read > 500);
  CHECK(tally.refused > 500);
  CHECK(tally.misused > 20);
}

TEST_CASE("Random bytes yield a message") {
  std::filesystem::create_directories(folder);
  const std::string path = (folder / "noise").string();
  std::mt19937 random(7);
  Tally tally;
  for (int round = 0; round < 500; ++round) {
    std::string bytes(random() % 2000, '\0');
    for (char& c : bytes) c = static_cast<char>(random());
    put(path, bytes);
    INFO("round " << round << ", kept in " << path);
    read_once(path, {}, tally);
  }
  CHECK(tally.refused > 490);
}
