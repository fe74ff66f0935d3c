#include <string>

#include "lampbeat/clip.hpp"
#include "lampbeat/error.hpp"
#include "support/catch.hpp"
#include "support/scratch.hpp"

using namespace lampbeat;
using lampbeat::test::ScratchFile;

namespace {

/// What reading the whole clip complains about; empty when it does not.
std::string complaint(const std::string& bytes) {
  const ScratchFile file("clip.y4m", bytes);
  try {
    const auto clip = open_clip(file.path());
    while (clip->next()) {
    }
  } catch (const InputError& error) {
    return error.what();
  }
  return "";
}

/// In one line.
bool says(const std::string& text, const std::string& part) {
  INFO(text);
  CHECK(text.find('\n') == std::string::npos);
  CHECK(text.find(part) != std::string::npos);
  return text.find(part) != std::string::npos;
}

struct Layout {
  const char* tag;
  Chroma chroma;
  int bits;
  std::size_t bytes;  // of one 3 x 3 frame
};

}  // namespace

TEST_CASE("every pixel format of the stream is read to its end, and only the luma kept") {
  // Plane sizes by hand for a 3 x 3 picture: 420 has two 2 x 2 chroma planes, 422 two of 2 x 3,
  // 411 two of 1 x 3, 444 two of 3 x 3.
  const Layout layout = GENERATE(
      Layout{"", Chroma::yuv420, 8, 9 + 8}, Layout{" C420jpeg", Chroma::yuv420, 8, 9 + 8},
      Layout{" C420paldv", Chroma::yuv420, 8, 9 + 8},
      Layout{" C420mpeg2", Chroma::yuv420, 8, 9 + 8}, Layout{" C420", Chroma::yuv420, 8, 9 + 8},
      Layout{" C411", Chroma::yuv411, 8, 9 + 6}, Layout{" C422", Chroma::yuv422, 8, 9 + 12},
      Layout{" C444", Chroma::yuv444, 8, 27}, Layout{" C444alpha", Chroma::yuv444, 8, 36},
      Layout{" Cmono", Chroma::mono, 8, 9}, Layout{" Cmono10", Chroma::mono, 10, 18},
      Layout{" Cmono16", Chroma::mono, 16, 18}, Layout{" C420p10", Chroma::yuv420, 10, 34},
      Layout{" C422p12", Chroma::yuv422, 12, 42}, Layout{" C444p10", Chroma::yuv444, 10, 54},
      Layout{" C420p16", Chroma::yuv420, 16, 34});
  CAPTURE(layout.tag);
  std::string frame(layout.bytes, '\0');
  const std::size_t each = layout.bits > 8 ? 2 : 1;
  for (std::size_t i = 0; i < 9; ++i) frame[i * each] = static_cast<char>(10 + i);
  const ScratchFile file("formats.y4m", "YUV4MPEG2 W3 H3 F30000:1001 Ip A1:1" +
                                            std::string(layout.tag) + "\nFRAME\n" + frame +
                                            "FRAME Xhello\n" + frame);
  const auto clip = open_clip(file.path());
  CHECK(clip->format().chroma == layout.chroma);
  CHECK(clip->format().bits == layout.bits);
  CHECK(clip->format().fps == FrameRate{30000, 1001});
  CHECK_FALSE(clip->format().full_range);
  for (int n = 0; n < 2; ++n) {
    const auto* luma = clip->next();
    REQUIRE(luma);
    REQUIRE(luma->size() == 9);
    for (std::size_t i = 0; i < 9; ++i) CHECK((*luma)[i] == 10 + i);
  }
  CHECK(clip->next() == nullptr);
}

TEST_CASE("values of more than eight bits are little-endian") {
  const ScratchFile file("deep.y4m", "YUV4MPEG2 W1 H1 F24:1 Cmono10\nFRAME\n\x34\x02");
  CHECK(open_clip(file.path())->next()->front() == 0x234);
}

TEST_CASE("full range is read from the header") {
  const ScratchFile file("full.y4m", "YUV4MPEG2 W1 H1 F24:1 Cmono XCOLORRANGE=FULL\nFRAME\n\x34");
  CHECK(open_clip(file.path())->format().full_range);
}

TEST_CASE("an unknown frame rate is not invented") {
  CHECK(complaint("YUV4MPEG2 W1 H1 F0:0 Cmono\nFRAME\nx").empty());
  const ScratchFile file("norate.y4m", "YUV4MPEG2 W1 H1 F0:1 Cmono\nFRAME\nx");
  CHECK_FALSE(open_clip(file.path())->format().fps);
}

TEST_CASE("damaged clips are refused with the place and the reason") {
  says(complaint(""), "is empty");
  says(complaint("YUV4MPEG2 W2 H1 F25:1 Cmono\nFRAME\nabFRAME\na"), "ends inside frame 2");
  says(complaint("YUV4MPEG2 W2 H2 F25:1 C420\nFRAME\nabcde"), "ends inside frame 1");
  says(complaint("YUV4MPEG2 W2 H1 F25:1 Cmono\nFRAME\nabFRAM"), "ends inside frame 2");
  says(complaint("YUV4MPEG2 W2 H1 F25:1 Cmono\nFRAME\nabJUNK\nab"), "frame 2 does not begin");
  says(complaint("YUV4MPEG2 W2 H1 F25:1 Cmono\nFRAME W4\nab"), "changes the parameter 'W4'");
  says(complaint("YUV4MPEG2 W2 H1 F25:1 Cmono\nFRAME\nabYUV4MPEG2 W4 H4 F25:1\nFRAME\n"),
       "second header follows frame 1");
  says(complaint("YUV4MPEG2 W2 H1 F25:1"), "ends inside its header");
  says(complaint("YUV4MPEG2 " + std::string(100000, 'X')), "does not end within");
  says(complaint("YUV4MPEG2 W1 H1 F25:1 Cmono10\nFRAME\n\xff\xff"), "although it says 10 bits");
}

TEST_CASE("absurd headers cost nothing but a line") {
  says(complaint("YUV4MPEG2 H2 F25:1\nFRAME\n"), "no picture size");
  says(complaint("YUV4MPEG2 W0 H2 F25:1\nFRAME\n"), "picture size W0");
  says(complaint("YUV4MPEG2 W-3 H2 F25:1\nFRAME\n"), "picture size W-3");
  says(complaint("YUV4MPEG2 W99999999999999999999 H2 F25:1\nFRAME\n"), "picture size");
  says(complaint("YUV4MPEG2 W65536 H65536 F25:1\nFRAME\n"), "more than the 256 MB");
  says(complaint("YUV4MPEG2 W2 H2 F25:0\nFRAME\n"), "frame rate F25:0");
  says(complaint("YUV4MPEG2 W2 H2 F-25:1\nFRAME\n"), "frame rate F-25:1");
  says(complaint("YUV4MPEG2 W2 H2 F99999999:1\nFRAME\n"), "frame rate");
  says(complaint("YUV4MPEG2 W2 H2 F1e3\nFRAME\n"), "frame rate");
  says(complaint("YUV4MPEG2 W2 H2 F25:1 C420p99\nFRAME\n"), "pixel format C420p99");
  says(complaint("YUV4MPEG2 W2 H2 F25:1 Crgb\nFRAME\n"), "pixel format Crgb");
  says(complaint("YUV4MPEG2 W2 H2 F25:1 Q7\nFRAME\n"), "unknown parameter 'Q7'");
}

TEST_CASE("interlaced clips are refused with what to do") {
  for (const char* mode : {"It", "Ib", "Im"}) {
    const std::string text = complaint("YUV4MPEG2 W2 H2 F25:1 " + std::string(mode) + "\nFRAME\n");
    says(text, "interlaced");
    says(text, "progressive");
  }
}

TEST_CASE("what is no clip is refused") { says(complaint("just some text"), "neither"); }

TEST_CASE("a missing clip is named") {
  CHECK_THROWS_AS(open_clip("/no/such/clip.y4m"), InputError);
  CHECK_THROWS_AS(open_clip("/"), InputError);
}

TEST_CASE("greymap stills of eight and sixteen bits are clips of one frame") {
  const ScratchFile eight("wall.pgm", "P5 # a wall\n2 1\n255\nAB");
  auto clip = open_clip(eight.path());
  CHECK(clip->format().still);
  CHECK(clip->format().bits == 8);
  CHECK(*clip->next() == std::vector<std::uint16_t>{'A', 'B'});
  CHECK(clip->next() == nullptr);
  const ScratchFile sixteen("wall16.pgm", std::string("P5\n1 1\n65535\n\x12\x34", 15));
  CHECK(open_clip(sixteen.path())->next()->front() == 0x1234);
  // A highest value that is no power of two is stretched to the full scale of its bits.
  const ScratchFile hundred("wall100.pgm", "P5\n2 1\n100\n\x64\x32");
  clip = open_clip(hundred.path());
  CHECK(*clip->next() == std::vector<std::uint16_t>{255, 128});
  says(complaint("P5\n4 4\n255\nabc"), "ends inside row 1");
  says(complaint("P5\n4 4\n99\n" + std::string(16, '\x7f')), "above its highest");
  says(complaint("P5\n4 0\n255\n"), "height");
  says(complaint("P5\n" + std::string(9000, ' ')), "width");
}
