#include "capture/file_kind.hpp"

#include <array>

#include <fmt/format.h>

#include "lampbeat/error.hpp"

namespace lampbeat::capture {
namespace {

using namespace std::string_view_literals;

bool starts_with(std::string_view head, std::string_view magic, std::size_t at = 0) {
  return head.size() >= at + magic.size() && head.substr(at, magic.size()) == magic;
}

bool is_sound(std::string_view head) {
  const bool riff = starts_with(head, "RIFF") || starts_with(head, "RIFX") ||
                    starts_with(head, "RF64") || starts_with(head, "BW64");
  return (riff && starts_with(head, "WAVE", 8)) || starts_with(head, "fLaC") ||
         starts_with(head, "caff") || starts_with(head, "riff\x2E\x91\xCF\x11"sv) ||
         starts_with(head, ".snd") ||
         (starts_with(head, "FORM") &&
          (starts_with(head, "AIFF", 8) || starts_with(head, "AIFC", 8)));
}

/// What FFmpeg's libraries unpack, by the formats' own specifications. Whether it is a clip or
/// sound shows only inside.
bool is_container(std::string_view head) {
  const bool adts = head.size() > 1 && head[0] == '\xFF' &&
                    (static_cast<unsigned char>(head[1]) & 0xF6U) == 0xF0U;
  const bool mpeg_layer_3 = head.size() > 1 && head[0] == '\xFF' &&
                            (static_cast<unsigned char>(head[1]) & 0xE6U) == 0xE2U;
  return starts_with(head, "ftyp", 4) || starts_with(head, "OggS") || starts_with(head, "ID3") ||
         starts_with(head, "\x1A\x45\xDF\xA3") || adts || mpeg_layer_3;
}

struct Stranger {
  std::string_view magic;
  std::size_t at;
  std::string_view advice;
};

// First bytes as the formats' own specifications give them.
constexpr std::array strangers = {
    Stranger{"\xFF\xFE"sv, 0, "UTF-16 text; save the table again as UTF-8 or plain CSV"},
    Stranger{"\xFE\xFF"sv, 0, "UTF-16 text; save the table again as UTF-8 or plain CSV"},
    Stranger{"YUV4MPEG2"sv, 0, "a clip, not a sensor log; use `lampbeat footage` for it"},
    Stranger{"\x89PNG"sv, 0, "a PNG picture, not a sensor log"},
    Stranger{"\xFF\xD8\xFF"sv, 0, "a JPEG picture, not a sensor log"},
    Stranger{"%PDF"sv, 0, "a PDF document; export the numbers as CSV"},
    Stranger{"PK\x03\x04"sv, 0,
             "a ZIP archive or a spreadsheet workbook; unpack it, or export the sheet as CSV"},
    Stranger{"\xD0\xCF\x11\xE0"sv, 0, "a binary workbook or document; export the sheet as CSV"},
    Stranger{"\x1F\x8B"sv, 0, "gzip-compressed; unpack it first, or pipe it through `gzip -dc`"},
    Stranger{"BZh"sv, 0, "bzip2-compressed; unpack it first"},
    Stranger{"\xFD"
             "7zXZ"sv,
             0, "xz-compressed; unpack it first, or pipe it through `xz -dc`"},
    Stranger{"RIFF"sv, 0, "a RIFF file but not WAVE sound; export the capture as WAV or CSV"},
    Stranger{"\x7F"
             "ELF"sv,
             0, "a program, not a sensor log"},
};

std::string_view skip_blanks(std::string_view text) {
  const std::size_t first = text.find_first_not_of(" \t\r\n");
  return first == std::string_view::npos ? std::string_view() : text.substr(first);
}

bool looks_like_json(std::string_view head) {
  head = skip_blanks(head);
  if (head.empty() || (head.front() != '{' && head.front() != '[')) return false;
  const std::string_view rest = skip_blanks(head.substr(1));
  if (head.front() == '{') return rest.empty() || rest.front() == '"' || rest.front() == '}';
  return !rest.empty() && "{[\"-0123456789"sv.find(rest.front()) != std::string_view::npos &&
         rest.find(']') != 0;
}

}  // namespace

FileKind file_kind(const std::string& name, std::string_view head) {
  if (head.empty()) {
    throw InputError(fmt::format(
        "{}: it is empty (0 bytes); was the recorder stopped, or the card full? Record it again",
        name));
  }
  if (is_sound(head)) return FileKind::sound;
  for (const Stranger& stranger : strangers) {
    if (starts_with(head, stranger.magic, stranger.at)) {
      throw InputError(fmt::format("{}: this is {}", name, stranger.advice));
    }
  }
  if (is_container(head)) return FileKind::container;
  if (starts_with(head, "\xEF\xBB\xBF")) head.remove_prefix(3);
  if (looks_like_json(head)) {
    throw InputError(fmt::format(
        "{}: this looks like JSON, not a sensor log; a saved light profile goes, as a file, to "
        "`predict --light`,\nsaved `measure --json` lines to `rate`",
        name));
  }
  if (starts_with(skip_blanks(head), "<")) {
    throw InputError(
        fmt::format("{}: this is a web page or XML, not a sensor log; export CSV or WAV", name));
  }
  return FileKind::text;
}

}  // namespace lampbeat::capture
