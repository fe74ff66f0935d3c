#include <fmt/format.h>
#include <png.h>

#include <array>
#include <bit>
#include <cmath>
#include <cstring>
#include <optional>

#include "footage/clips/formats.hpp"
#include "footage/clips/tagged_transfer.hpp"
#include "lampbeat/error.hpp"

namespace lampbeat::footage::clips {

namespace {

/// Pixels of a decoded picture, all channels, 16 bits each in the machine's order.
struct Pixels {
  std::uint32_t width = 0;
  std::uint32_t height = 0;
  std::size_t channels = 0;
  std::vector<std::uint16_t> values;
  std::vector<png_bytep> rows;
};

/// What went wrong, kept outside the decoder, which leaves by longjmp.
struct Complaint {
  std::array<char, 160> text{};
};

void complain(png_structp png, png_const_charp text) {
  auto* complaint = static_cast<Complaint*>(png_get_error_ptr(png));
  std::snprintf(complaint->text.data(), complaint->text.size(), "%s", text);
  png_longjmp(png, 1);
}

void ignore_warning(png_structp, png_const_charp) {}

void read_bytes(png_structp png, png_bytep into, std::size_t count) {
  // Reading may throw, which must not cross the decoder's C frames.
  bool whole = false;
  try {
    auto& bytes = *static_cast<files::ByteSource*>(png_get_io_ptr(png));
    whole = bytes.read_fully(into, count) == count;
  } catch (const InputError&) {
  }
  if (!whole) png_error(png, "the file ends too early");
}

/// The curve as tagged, in the order of precedence of the PNG specification, third edition, 4.3.
std::optional<TransferFunction> tagged_transfer(png_structp png, png_infop info) {
  png_unknown_chunkp chunks = nullptr;
  const int count = png_get_unknown_chunks(png, info, &chunks);
  for (int i = 0; i < count; ++i) {
    const png_unknown_chunk& chunk = chunks[i];
    if (std::memcmp(chunk.name, "cICP", 4) != 0 || chunk.size != 4) continue;
    if (const auto transfer = transfer_numbered(chunk.data[1])) return transfer;
  }
  int intent = 0;
  if (png_get_sRGB(png, info, &intent) != 0) return TransferFunction{Transfer::srgb, {}};
  double exponent = 0.0;
  if (png_get_gAMA(png, info, &exponent) != 0 && exponent >= 0.2 && exponent <= 5.0) {
    return exponent == 1.0 ? TransferFunction{Transfer::linear, {}}
                           : TransferFunction{Transfer::gamma, 1.0 / exponent};
  }
  return std::nullopt;
}

/// False with a complaint when the file is damaged. Everything that needs destroying lives in the
/// caller, because longjmp skips destructors here.
bool decode_png(png_structp png, png_infop info, Pixels& pixels) {
  if (setjmp(png_jmpbuf(png))) return false;
  png_set_user_limits(png, largest_side, largest_side);
  png_set_chunk_malloc_max(png, 8000000);
  png_set_keep_unknown_chunks(png, PNG_HANDLE_CHUNK_ALWAYS,
                              reinterpret_cast<png_const_bytep>("cICP"), 1);
  png_read_info(png, info);
  png_set_expand_16(png);
  png_set_strip_alpha(png);
  if constexpr (std::endian::native == std::endian::little) png_set_swap(png);
  png_set_interlace_handling(png);
  png_read_update_info(png, info);
  pixels.width = png_get_image_width(png, info);
  pixels.height = png_get_image_height(png, info);
  pixels.channels = png_get_channels(png, info);
  const std::size_t row = std::size_t{pixels.width} * pixels.channels;
  if (png_get_rowbytes(png, info) != row * 2) png_error(png, "its pixel format is not known");
  if (row * pixels.height * 2 > 3 * largest_frame_bytes) png_error(png, "the picture is too large");
  pixels.values.resize(row * pixels.height);
  pixels.rows.resize(pixels.height);
  for (std::size_t y = 0; y < pixels.height; ++y) {
    pixels.rows[y] = reinterpret_cast<png_bytep>(pixels.values.data() + y * row);
  }
  png_read_image(png, pixels.rows.data());
  return true;
}

}  // namespace

std::unique_ptr<ClipSource> open_png(files::ByteSource bytes) {
  Complaint complaint;
  png_structp png =
      png_create_read_struct(PNG_LIBPNG_VER_STRING, &complaint, complain, ignore_warning);
  png_infop info = png ? png_create_info_struct(png) : nullptr;
  if (!info) {
    png_destroy_read_struct(&png, nullptr, nullptr);
    throw std::bad_alloc();
  }
  png_set_read_fn(png, &bytes, read_bytes);
  Pixels pixels;
  const bool read = decode_png(png, info, pixels);
  const auto transfer = read ? tagged_transfer(png, info) : std::nullopt;
  png_destroy_read_struct(&png, &info, nullptr);
  if (!read) {
    throw InputError(
        fmt::format("{}: this PNG cannot be read: {}", bytes.name(), complaint.text.data()));
  }

  ClipFormat format;
  format.name = bytes.name();
  format.width = static_cast<int>(pixels.width);
  format.height = static_cast<int>(pixels.height);
  format.bits = 16;
  format.transfer = transfer;
  format.chroma = pixels.channels >= 3 ? Chroma::yuv444 : Chroma::mono;
  std::vector<std::uint16_t> luma(std::size_t{pixels.width} * pixels.height);
  for (std::size_t i = 0; i < luma.size(); ++i) {
    const std::uint16_t* p = pixels.values.data() + i * pixels.channels;
    // Luma weights of ITU-R BT.709-6 item 3.2.
    luma[i] =
        pixels.channels >= 3
            ? static_cast<std::uint16_t>(std::lround(0.2126 * p[0] + 0.7152 * p[1] + 0.0722 * p[2]))
            : p[0];
  }
  return still(std::move(format), std::move(luma));
}

}  // namespace lampbeat::footage::clips
