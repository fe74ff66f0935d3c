#include <png.h>

#include <array>
#include <cstdio>
#include <cstring>
#include <fstream>
#include <iterator>
#include <vector>

#include "lampbeat/clip.hpp"
#include "lampbeat/error.hpp"
#include "support/catch.hpp"
#include "support/scratch.hpp"

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

/// A grey pixel, tagged: by the number of a transfer curve (cICP), as sRGB, by an exponent (gAMA).
void write_tagged(const std::string& path, int number, bool srgb, double exponent) {
  std::FILE* file = std::fopen(path.c_str(), "wb");
  REQUIRE(file);
  png_structp png = png_create_write_struct(PNG_LIBPNG_VER_STRING, nullptr, nullptr, nullptr);
  png_infop info = png_create_info_struct(png);
  png_init_io(png, file);
  png_set_IHDR(png, info, 1, 1, 8, PNG_COLOR_TYPE_GRAY, PNG_INTERLACE_NONE,
               PNG_COMPRESSION_TYPE_DEFAULT, PNG_FILTER_TYPE_DEFAULT);
  if (srgb) png_set_sRGB(png, info, PNG_sRGB_INTENT_PERCEPTUAL);
  if (exponent > 0.0) png_set_gAMA(png, info, exponent);
  std::array<png_byte, 4> codes = {1, static_cast<png_byte>(number), 0, 1};
  png_unknown_chunk chunk{{'c', 'I', 'C', 'P', 0}, codes.data(), codes.size(), PNG_HAVE_IHDR};
  if (number > 0) {
    png_set_keep_unknown_chunks(png, PNG_HANDLE_CHUNK_ALWAYS, chunk.name, 1);
    png_set_unknown_chunks(png, info, &chunk, 1);
  }
  png_write_info(png, info);
  const png_byte grey = 128;
  png_write_row(png, &grey);
  png_write_end(png, info);
  png_destroy_write_struct(&png, &info);
  std::fclose(file);
}

std::string tag_of(int number, bool srgb, double exponent) {
  const ScratchFile file("tagged.png");
  write_tagged(file.path(), number, srgb, exponent);
  const auto transfer = open_clip(file.path())->format().transfer;
  return transfer ? transfer_name(*transfer) : "";
}

}  // namespace

// Numbers: ITU-T H.273, table 3. Precedence: PNG specification, third edition, 4.3.
TEST_CASE("a PNG still is read by the curve it is tagged with") {
  CHECK(tag_of(18, false, 0.0) == "hlg");
  CHECK(tag_of(16, true, 0.0) == "pq");
  CHECK(tag_of(1, false, 0.45455) == "bt709");
  CHECK(tag_of(13, false, 0.0) == "srgb");
  CHECK(tag_of(8, false, 0.0) == "linear");
  CHECK(tag_of(200, true, 0.0) == "srgb");
  CHECK(tag_of(0, false, 1.0) == "linear");
  CHECK(tag_of(0, false, 0.5) == "gamma=2");
  CHECK(tag_of(0, false, 0.0).empty());
}

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
  const std::string bytes = lampbeat::test::contents_of(whole.path());
  for (std::size_t cut = 1; cut + 12 < bytes.size(); ++cut) {
    CAPTURE(cut);
    const ScratchFile part("part.png", bytes.substr(0, cut));
    CHECK_THROWS_AS(open_clip(part.path()), InputError);
  }
}
