#include <fmt/format.h>

#include <cerrno>
#include <cstring>
#include <string_view>

#include "footage/clips/formats.hpp"
#include "lampbeat/error.hpp"

namespace lampbeat {

namespace {

/// As many as tell one kind of clip from another.
constexpr std::size_t signature_bytes = 64;

/// Why a clip cannot be read.
std::string unreadable_clip(const files::InputTrouble& trouble) {
  if (trouble.number == EISDIR) {
    return fmt::format("{}: is a folder; name one clip in it", trouble.name);
  }
  return fmt::format("{}: {}: {}", trouble.name,
                     trouble.opening ? "cannot be opened" : "reading failed",
                     std::strerror(trouble.number));
}

/// The name of a compressed clip's container, or nothing.
std::string_view container(std::string_view bytes) {
  if (bytes.substr(0, 12).find("ftyp") == 4 || bytes.substr(0, 8).find("moov") == 4) {
    return "an MP4 or MOV clip";
  }
  if (bytes.starts_with("\x1A\x45\xDF\xA3")) return "a Matroska or WebM clip";
  if (bytes.starts_with("RIFF") && bytes.substr(8).starts_with("AVI ")) return "an AVI clip";
  if (bytes.starts_with(std::string_view("\0\0\1\xBA", 4))) return "an MPEG clip";
  if (bytes.size() > 1 && bytes[0] == 'G' && bytes[1] != 'I') return "an MPEG transport stream";
  return {};
}

}  // namespace

std::unique_ptr<ClipSource> open_clip(const std::string& path) {
  files::ByteSource bytes(path, unreadable_clip);
  const std::string_view first = bytes.look(signature_bytes);
  if (first.empty()) {
    throw InputError(fmt::format("{}: is empty; nothing was recorded or piped in", bytes.name()));
  }
  if (first.starts_with("YUV4MPEG2") && first.size() > 9 && (first[9] == ' ' || first[9] == '\n')) {
    return footage::clips::open_y4m(std::move(bytes));
  }
  if (first.starts_with("\x89PNG\r\n\x1A\n")) return footage::clips::open_png(std::move(bytes));
  if (first.starts_with("P5")) return footage::clips::open_pgm(std::move(bytes));
  if (const std::string_view kind = container(first); !kind.empty()) {
    throw InputError(
        fmt::format("{0}: is {1}; unpack it on the way in: ffmpeg -v error -i {2} -f "
                    "yuv4mpegpipe -strict -1 - | lampbeat footage -",
                    bytes.name(), kind, path == "-" ? "CLIP" : path));
  }
  throw InputError(
      fmt::format("{}: is neither a YUV4MPEG2 clip nor a PNG or PGM still; ffmpeg turns "
                  "any clip into one: ffmpeg -i CLIP -f yuv4mpegpipe clip.y4m",
                  bytes.name()));
}

}  // namespace lampbeat
