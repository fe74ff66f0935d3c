#include <png.h>

#include <cstring>
#include <fstream>
#include <iterator>
#include <vector>

#include "lampbeat/clip.hpp"
#include "lampbeat/error.hpp"
#include "support/catch.hpp"
#include "support/scratch_file.hpp"

using namespace lampbeat;
using lampbeat::test::ScratchFile;

namespace {

/// A picture written by the PNG library's own simple writer.
void write_png(const std::string& path, png_uint_32 format, png_uint_32 width, png_uint_32 height,
               const std::vector<png_byte>& pixels) {
  png_image image;
  std::memset(&image, 0, sizeof image);
  image.version = PNG_IMAGE_VERSION;
  image.width = width;
  image.height = height;
  image.format = format;
  REQUIRE(png_image_write_to_file(&image, path.c_str(), 0, pixels.data(), 0, nullptr));
}

}  // namespace

TEST_CASE("a grey PNG still is read as its code values") {
  const ScratchFile file("grey.png");
  write_png(file.path(), PNG_FORMAT_GRAY, 2, 2, {0, 128, 200, 255});
  const auto clip = open_clip(file.path());
  CHECK(clip->format().still);
  CHECK(clip->format().full_range);
  CHECK(clip->format().bits == 16);
  CHECK(*clip->next() == std::vector<std::uint16_t>{0, 128 * 257, 200 * 257, 65535});
  CHECK(clip->next() == nullptr);
}

TEST_CASE("a colour PNG still is weighted as BT.709 luma") {
  const ScratchFile file("colour.png");
  write_png(file.path(), PNG_FORMAT_RGB, 3, 1, {255, 0, 0, 0, 255, 0, 0, 0, 255});
  const auto luma = *open_clip(file.path())->next();
  CHECK(luma[0] == Approx(0.2126 * 65535).margin(1));
  CHECK(luma[1] == Approx(0.7152 * 65535).margin(1));
  CHECK(luma[2] == Approx(0.0722 * 65535).margin(1));
}

TEST_CASE("a damaged PNG still is refused, however it is damaged") {
  const ScratchFile whole("whole.png");
  write_png(whole.path(), PNG_FORMAT_RGB, 16, 16, std::vector<png_byte>(16 * 16 * 3, 90));
  std::ifstream stream(whole.path(), std::ios::binary);
  const std::string bytes((std::istreambuf_iterator<char>(stream)), {});
  for (std::size_t cut = 1; cut + 12 < bytes.size(); ++cut) {
    CAPTURE(cut);
    const ScratchFile part("part.png", bytes.substr(0, cut));
    CHECK_THROWS_AS(open_clip(part.path()), InputError);
  }
}
