#include "report/picture/png_writer.hpp"

#include <array>
#include <new>
#include <stdexcept>
#include <vector>

namespace lampbeat::report::picture {

namespace {

void append(png_structp png, png_bytep bytes, png_size_t count) {
  static_cast<std::string*>(png_get_io_ptr(png))->append(reinterpret_cast<char*>(bytes), count);
}

[[noreturn]] void fail(png_structp, png_const_charp message) { throw std::runtime_error(message); }

png_byte part_of(Colour colour, int shift) {
  return static_cast<png_byte>((colour >> shift) & 0xFFU);
}

}  // namespace

PngWriter::PngWriter(std::string& bytes)
    : png_(png_create_write_struct(PNG_LIBPNG_VER_STRING, nullptr, fail, nullptr)),
      info_(png_ ? png_create_info_struct(png_) : nullptr) {
  if (!info_) throw std::bad_alloc();
  png_set_write_fn(png_, &bytes, append, nullptr);
}

PngWriter::~PngWriter() { png_destroy_write_struct(&png_, &info_); }

void PngWriter::begin_grey(std::uint32_t across, std::uint32_t down, int bits) {
  png_set_IHDR(png_, info_, across, down, bits, PNG_COLOR_TYPE_GRAY, PNG_INTERLACE_NONE,
               PNG_COMPRESSION_TYPE_DEFAULT, PNG_FILTER_TYPE_DEFAULT);
  png_set_sRGB(png_, info_, PNG_sRGB_INTENT_RELATIVE);
  png_write_info(png_, info_);
}

void PngWriter::begin_coloured(std::uint32_t across, std::uint32_t down,
                               std::span<const Colour> colours, const std::string& description) {
  constexpr int bits = 8;
  png_set_IHDR(png_, info_, across, down, bits, PNG_COLOR_TYPE_PALETTE, PNG_INTERLACE_NONE,
               PNG_COMPRESSION_TYPE_DEFAULT, PNG_FILTER_TYPE_DEFAULT);
  png_set_sRGB(png_, info_, PNG_sRGB_INTENT_RELATIVE);
  std::vector<png_color> palette;
  for (const Colour colour : colours) {
    palette.push_back({part_of(colour, 16), part_of(colour, 8), part_of(colour, 0)});
  }
  png_set_PLTE(png_, info_, palette.data(), static_cast<int>(palette.size()));
  // PNG specification, third edition, 11.3.3.2: the keyword of a description of the image.
  std::string keyword = "Description";
  std::string words = description;
  png_text text{};
  text.compression = PNG_ITXT_COMPRESSION_NONE;
  text.key = keyword.data();
  text.text = words.data();
  text.itxt_length = words.size();
  std::array<char, 1> nothing{};
  text.lang = nothing.data();
  text.lang_key = nothing.data();
  png_set_text(png_, info_, &text, 1);
  png_write_info(png_, info_);
}

}  // namespace lampbeat::report::picture
