// Damaged clips and stills: thousands of mutations of good ones, from a fixed seed. Whatever comes
// must end in frames or in an InputError, with bounded memory and without delay.

#include <random>
#include <string>

#include "lampbeat/clip.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/footage.hpp"
#include "support/catch.hpp"
#include "support/scratch.hpp"

using namespace lampbeat;
using lampbeat::test::ScratchFile;

namespace {

std::string good_clip() {
  std::string bytes = "YUV4MPEG2 W16 H32 F25:1 Ip A1:1 C420p10 XCOLORRANGE=FULL\n";
  for (int n = 0; n < 9; ++n) bytes += "FRAME\n" + std::string(16 * 32 * 3, '\2');
  return bytes;
}

std::string good_still() { return "P5 # wall\n16 32\n255\n" + std::string(16 * 32, 'a'); }

std::string mutated(const std::string& good, std::mt19937& random) {
  std::string bytes = good;
  const auto any = [&](std::size_t below) {
    return std::uniform_int_distribution<std::size_t>(0, below - 1)(random);
  };
  // Headers are where readers break, so most strikes land there.
  const std::size_t strikes = 1 + any(4);
  for (std::size_t i = 0; i < strikes && !bytes.empty(); ++i) {
    const std::size_t at =
        any(2) == 0 ? any(std::min<std::size_t>(bytes.size(), 80)) : any(bytes.size());
    switch (any(5)) {
      case 0:
        bytes[at] = static_cast<char>(any(256));
        break;
      case 1:
        bytes.resize(at);
        break;
      case 2:
        bytes.erase(at, 1 + any(20));
        break;
      case 3:
        bytes.insert(at, std::string(1 + any(30), "0129 :F\n#-"[any(10)]));
        break;
      default:
        bytes.insert(at, bytes.substr(any(bytes.size()), any(60)));
        break;
    }
  }
  return bytes;
}

void read_all(const std::string& bytes) {
  const ScratchFile file("fuzzed", bytes);
  try {
    const auto clip = open_clip(file.path());
    FootageSettings settings;
    settings.fps = FrameRate{25, 1};
    (void)measure_footage(*clip, nullptr, settings);
  } catch (const InputError& error) {
    CHECK(std::string(error.what()).size() < 500);
  }
}

}  // namespace

TEST_CASE("mutated clips end in frames or in a clear refusal") {
  std::mt19937 random(20240611);
  for (int i = 0; i < 1500; ++i) read_all(mutated(good_clip(), random));
}

TEST_CASE("mutated stills end in a picture or in a clear refusal") {
  std::mt19937 random(4711);
  for (int i = 0; i < 1500; ++i) read_all(mutated(good_still(), random));
}
