// Damaged clips and stills: thousands of mutations of good ones, from a fixed seed. What a change
// leaves valid is read, with the pictures that are in it and no others; whatever else comes ends in
// frames or in an InputError that names the file and the place, with bounded memory and without
// delay.

#include <png.h>

#include <algorithm>
#include <cstdint>
#include <cstring>
#include <random>
#include <string>
#include <vector>

#include "lampbeat/clip.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/footage.hpp"
#include "support/catch.hpp"
#include "support/scratch.hpp"

using namespace lampbeat;
using lampbeat::test::ScratchFile;

namespace {

constexpr std::size_t width = 16;
constexpr std::size_t height = 32;
constexpr std::size_t pixels = width * height;

using Picture = std::vector<std::uint16_t>;

std::size_t below(std::mt19937& random, std::size_t end) {
  return std::uniform_int_distribution<std::size_t>(0, end - 1)(random);
}

/// A clip or a still in parts: the pictures, and bytes around them that carry none.
struct Parts {
  std::string header;
  std::vector<std::string> before;  ///< each picture
  std::vector<Picture> pictures;
  std::size_t chroma_bytes = 0;  ///< after each picture
  bool wide = false;             ///< two bytes a pixel, little-endian
  char chroma = '\2';

  std::string bytes() const {
    std::string all = header;
    for (std::size_t n = 0; n < pictures.size(); ++n) {
      all += before[n];
      for (const std::uint16_t value : pictures[n]) {
        all += static_cast<char>(value & 0xFF);
        if (wide) all += static_cast<char>(value >> 8);
      }
      all += std::string(chroma_bytes, chroma);
    }
    return all;
  }
};

/// Ten bits, 4:2:0; every picture is another.
Parts good_clip() {
  Parts clip{"YUV4MPEG2 W16 H32 F25:1 Ip A1:1 C420p10 XCOLORRANGE=FULL\n", {}, {}, pixels, true};
  for (unsigned n = 0; n < 9; ++n) {
    clip.before.push_back("FRAME\n");
    clip.pictures.emplace_back();
    for (unsigned i = 0; i < pixels; ++i) {
      clip.pictures.back().push_back(static_cast<std::uint16_t>((n * 131 + i * 37) % 1024));
    }
  }
  return clip;
}

Parts good_still() {
  Parts still{"P5 # wall\n16 32\n255\n", {""}, {{}}, 0, false};
  for (unsigned i = 0; i < pixels; ++i) {
    still.pictures[0].push_back(static_cast<std::uint16_t>(i * 37 % 256));
  }
  return still;
}

std::string mutated(const std::string& good, std::mt19937& random) {
  std::string bytes = good;
  const auto any = [&](std::size_t end) { return below(random, end); };
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

/// Where in the file the trouble is, or what the file is instead.
bool names_a_place(const std::string& message) {
  const char* const places[] = {"header", "frame ",   "row ",     "picture",    "pixel format",
                                "PNG",    "interlac", "is empty", "is neither", "is a"};
  return std::any_of(std::begin(places), std::end(places),
                     [&](const char* place) { return message.find(place) != std::string::npos; });
}

struct Outcome {
  bool read = false;
  std::vector<Picture> pictures;
};

/// Reads to the end and measures; every refusal has to name the file and the place.
Outcome outcome_of(const std::string& bytes) {
  const ScratchFile file("fuzzed", bytes);
  Outcome outcome;
  try {
    const auto clip = open_clip(file.path());
    while (const Picture* picture = clip->next()) outcome.pictures.push_back(*picture);
    outcome.read = true;
  } catch (const InputError& error) {
    const std::string message = error.what();
    INFO(message);
    CHECK(message.rfind(file.path() + ": ", 0) == 0);
    CHECK(names_a_place(message.substr(std::min(file.path().size(), message.size()))));
    CHECK(message.find('\n') == std::string::npos);
    CHECK(message.size() < file.path().size() + 250);
  }
  try {
    const auto clip = open_clip(file.path());
    FootageSettings settings;
    settings.fps = FrameRate{25, 1};
    (void)measure_footage(*clip, nullptr, settings);
    CHECK((outcome.read && !outcome.pictures.empty()));
  } catch (const InputError&) {
    CHECK((!outcome.read || outcome.pictures.empty()));
  }
  return outcome;
}

/// Something that leaves a clip valid, done to its parts.
void change_clip(Parts& clip, std::mt19937& random) {
  const auto any = [&](std::size_t end) { return below(random, end); };
  const auto picture = static_cast<std::ptrdiff_t>(any(clip.pictures.size()));
  switch (any(7)) {
    case 0:
      clip.pictures[any(clip.pictures.size())][any(pixels)] = static_cast<std::uint16_t>(any(1024));
      break;
    case 1:
      clip.chroma = static_cast<char>(any(256));
      break;
    case 2:
      clip.before[any(clip.before.size())] = "FRAME X" + std::string(any(40), 'a') + "\n";
      break;
    case 3:  // parameters in another order, beside one for somebody else
      clip.header = "YUV4MPEG2 XNOTE=" + std::string(any(60), '7') +
                    " C420p10 A0:0 F30000:1001 H32 I? W16 XCOLORRANGE=FULL\n";
      break;
    case 4:  // recorded shorter
      if (clip.pictures.size() < 2) break;
      clip.pictures.pop_back();
      clip.before.pop_back();
      break;
    case 5:
      if (clip.pictures.size() < 2) break;
      clip.pictures.erase(clip.pictures.begin() + picture);
      clip.before.erase(clip.before.begin() + picture);
      break;
    default:
      clip.pictures.push_back(clip.pictures[static_cast<std::size_t>(picture)]);
      clip.before.push_back("FRAME Ip\n");
  }
}

void change_still(Parts& still, std::mt19937& random) {
  const auto any = [&](std::size_t end) { return below(random, end); };
  switch (any(3)) {
    case 0:
      still.pictures[0][any(pixels)] = static_cast<std::uint16_t>(any(256));
      break;
    case 1:
      still.header = "P5\n# " + std::string(any(200), 'w') + "\n16\t32\r255\n";
      break;
    default:
      still.header = "P5" + std::string(1 + any(50), ' ') + "0016 # across\n" + "0032\n255 ";
  }
}

std::string png_of(const std::vector<png_byte>& grey) {
  png_image image;
  std::memset(&image, 0, sizeof image);
  image.version = PNG_IMAGE_VERSION;
  image.width = width;
  image.height = height;
  image.format = PNG_FORMAT_GRAY;
  const ScratchFile file("good.png");
  REQUIRE(png_image_write_to_file(&image, file.path().c_str(), 0, grey.data(), 0, nullptr));
  return test::contents_of(file.path());
}

}  // namespace

TEST_CASE("a change that leaves a clip or a still valid leaves it readable, picture by picture") {
  std::mt19937 random(1917);
  for (int i = 0; i < 600; ++i) {
    const bool clip = i % 2 == 0;
    Parts parts = clip ? good_clip() : good_still();
    for (std::size_t changes = below(random, 6); changes > 0; --changes) {
      clip ? change_clip(parts, random) : change_still(parts, random);
    }
    const Outcome outcome = outcome_of(parts.bytes());
    INFO("case " << i << ": " << parts.header);
    REQUIRE(outcome.read);
    REQUIRE(outcome.pictures.size() == parts.pictures.size());
    CHECK(outcome.pictures == parts.pictures);
  }
}

TEST_CASE("mutated clips end in frames or in a clear refusal, and both come about") {
  std::mt19937 random(20240611);
  const Parts good = good_clip();
  constexpr int all = 1500;
  int read = 0;
  for (int i = 0; i < all; ++i) {
    read += outcome_of(mutated(good.bytes(), random)).read ? 1 : 0;
  }
  // One in twenty-odd hits only chroma, the colour range, the aspect, a pixel's value or a frame's
  // end.
  CHECK(read > all / 30);
  CHECK(read < all / 2);
}

TEST_CASE("mutated stills end in a picture or in a clear refusal, and both come about") {
  std::mt19937 random(4711);
  const Parts good = good_still();
  constexpr int all = 1500;
  int read = 0;
  for (int i = 0; i < all; ++i) read += outcome_of(mutated(good.bytes(), random)).read ? 1 : 0;
  CHECK(read > all / 15);
  CHECK(read < all / 2);
}

TEST_CASE("a PNG still with one byte changed shows its own picture or none") {
  std::vector<png_byte> grey;
  Picture luma;
  for (unsigned i = 0; i < pixels; ++i) {
    grey.push_back(static_cast<png_byte>(i * 37 % 256));
    luma.push_back(static_cast<std::uint16_t>(257 * grey.back()));
  }
  const std::string good = png_of(grey);
  REQUIRE(outcome_of(good).pictures == std::vector<Picture>{luma});
  std::mt19937 random(1996);
  for (std::size_t at = 0; at < good.size(); ++at) {
    std::string bytes = good;
    bytes[at] = static_cast<char>(bytes[at] ^ static_cast<char>(1 + below(random, 255)));
    const Outcome outcome = outcome_of(bytes);
    INFO("byte " << at);
    if (outcome.read) CHECK(outcome.pictures == std::vector<Picture>{luma});
  }
}
