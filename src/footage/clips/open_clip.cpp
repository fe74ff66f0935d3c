#include <fmt/format.h>

#include <cerrno>
#include <cstring>
#include <string_view>

#include "containers/container.hpp"
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
  if (trouble.opening && (trouble.number == ENOENT || trouble.number == ENOTDIR)) {
    return fmt::format("{}: there is no such file; check its name and folder", trouble.name);
  }
  return fmt::format("{}: {}: {}", trouble.name,
                     trouble.opening ? "cannot be opened" : "reading failed",
                     std::strerror(trouble.number));
}

/// What kind of compressed clip or photograph it is; nothing where the first bytes do not tell.
std::string_view compressed_kind(std::string_view bytes) {
  if (bytes.substr(0, 12).find("ftyp") == 4 || bytes.substr(0, 8).find("moov") == 4) {
    return "an MP4 or MOV file";
  }
  if (bytes.starts_with("\x1A\x45\xDF\xA3")) return "a Matroska or WebM clip";
  if (bytes.starts_with("RIFF") && bytes.substr(8).starts_with("AVI ")) return "an AVI clip";
  if (bytes.starts_with(std::string_view("\0\0\1\xBA", 4))) return "an MPEG clip";
  if (bytes.size() > 1 && bytes[0] == 'G' && bytes[1] != 'I') return "an MPEG transport stream";
  if (bytes.starts_with("\xFF\xD8\xFF")) return "a JPEG photograph";
  return {};
}

/// A photograph cut into tiles, which the libraries give one by one.
bool is_tiled_photograph(std::string_view bytes) {
  const std::string_view brand = bytes.substr(0, 12).find("ftyp") == 4 ? bytes.substr(8, 4) : "";
  return brand == "heic" || brand == "heix" || brand == "heim" || brand == "heis" ||
         brand == "mif1";
}

/// A shell's word for a file name.
std::string shell_word(const std::string& path) {
  const bool plain = path.find_first_not_of(
                         "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"
                         "0123456789/._-+,") == std::string::npos;
  if (plain) return path;
  std::string quoted = "'";
  for (const char c : path) quoted += c == '\'' ? std::string("'\\''") : std::string(1, c);
  return quoted + "'";
}

/// The line that pipes a compressed file in where the module is missing. Turning is left to
/// whoever looks at it: the rows are to be the sensor's.
[[noreturn]] void refuse_compressed(const std::string& name, const std::string& path,
                                    std::string_view kind) {
  throw InputError(fmt::format(
      "{}: is {}, which this lampbeat was built without the means to open;\nunpack it on the way "
      "in:\n  ffmpeg -v error -noautorotate -i {} -f yuv4mpegpipe -strict -1 - | lampbeat footage "
      "-\n{}",
      name, kind, path == "-" ? "CLIP" : shell_word(path), containers::how_to_have_it()));
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
  if (is_tiled_photograph(first)) {
    throw InputError(fmt::format(
        "{}: is a HEIC photograph, whose parts are not put together here; save it as JPEG or PNG",
        bytes.name()));
  }
  const std::string_view kind = compressed_kind(first);
  // Sound may carry any name, and is told from a clip only once it is open.
  if (containers::can_open()) return footage::clips::open_container(std::move(bytes));
  if (!kind.empty()) refuse_compressed(bytes.name(), path, kind);
  throw InputError(fmt::format(
      "{}: is neither a YUV4MPEG2 clip nor a PNG or PGM still; ffmpeg turns any clip into one: "
      "ffmpeg -i CLIP -f yuv4mpegpipe clip.y4m",
      bytes.name()));
}

}  // namespace lampbeat
