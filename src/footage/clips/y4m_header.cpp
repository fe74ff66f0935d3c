#include "footage/clips/y4m_header.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <utility>

#include "footage/clips/formats.hpp"
#include "lampbeat/error.hpp"
#include "words/foreign_text.hpp"

namespace lampbeat::footage::clips {

namespace {

constexpr std::pair<std::string_view, Chroma> chroma_names[] = {{"mono", Chroma::mono},
                                                                {"411", Chroma::yuv411},
                                                                {"420", Chroma::yuv420},
                                                                {"422", Chroma::yuv422},
                                                                {"444", Chroma::yuv444}};

std::optional<std::int64_t> whole_number(std::string_view text) {
  std::int64_t value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc{} || end != text.data() + text.size()) return std::nullopt;
  return value;
}

/// The header being read, with the file's name for its complaints.
class HeaderReader {
 public:
  explicit HeaderReader(std::string name) {
    format_.name = std::move(name);
    format_.chroma = Chroma::yuv420;  // unless it says otherwise
  }

  Y4mHeader read(std::string_view line) {
    next_word(line);  // YUV4MPEG2
    for (std::string_view word = next_word(line); !word.empty(); word = next_word(line)) {
      parameter(word.front(), word.substr(1));
    }
    if (format_.width == 0 || format_.height == 0) {
      refuse("its header gives no picture size (W and H)");
    }
    return {format_, other_samples()};
  }

 private:
  std::size_t other_samples() const {
    const auto w = static_cast<std::size_t>(format_.width);
    const auto h = static_cast<std::size_t>(format_.height);
    switch (format_.chroma) {
      case Chroma::mono:
        return 0;
      case Chroma::yuv411:
        return 2 * ((w + 3) / 4) * h;
      case Chroma::yuv420:
        return 2 * ((w + 1) / 2) * ((h + 1) / 2);
      case Chroma::yuv422:
        return 2 * ((w + 1) / 2) * h;
      case Chroma::yuv444:
        break;
    }
    return (alpha_ ? 3 : 2) * w * h;
  }

  [[noreturn]] void refuse(const std::string& why) const {
    throw InputError(fmt::format("{}: {}", format_.name, why));
  }

  int side(char tag, std::string_view text) const {
    const auto value = whole_number(text);
    if (!value || *value < 1 || *value > largest_side) {
      refuse(fmt::format("picture size {}{} is not within 1 ... {}", tag, words::excerpt(text),
                         largest_side));
    }
    return static_cast<int>(*value);
  }

  std::optional<FrameRate> rate(std::string_view text) const {
    const std::size_t colon = std::min(text.find(':'), text.size());
    const auto over = whole_number(text.substr(0, colon));
    const auto under =
        colon < text.size() ? whole_number(text.substr(colon + 1)) : std::optional<std::int64_t>(1);
    if (over == 0) return std::nullopt;  // "unknown" in this format
    if (!over || !under || *over < 0 || *under <= 0) {
      refuse(fmt::format("frame rate F{} is not a fraction like F25:1", words::excerpt(text)));
    }
    const FrameRate read{*over, *under};
    if (!(read.per_s() >= 0.01 && read.per_s() <= 100000.0)) {
      refuse(fmt::format("frame rate F{} is not one a camera records", words::excerpt(text)));
    }
    return read;
  }

  void interlace(std::string_view text) const {
    if (text == "t" || text == "b" || text == "m") {
      refuse(
          "is interlaced: its odd and even rows were exposed at different times. Film "
          "progressive, or deinterlace first, one frame per field: ffmpeg -i CLIP -vf "
          "bwdif=mode=send_field -f yuv4mpegpipe -");
    }
    if (text != "p" && text != "?") {
      refuse(fmt::format("has an unknown interlacing mode I{}", words::excerpt(text)));
    }
  }

  void chroma(std::string_view text) {
    const std::string_view whole = text;
    for (const auto& [base, meant] : chroma_names) {
      if (!text.starts_with(base)) continue;
      format_.chroma = meant;
      text.remove_prefix(base.size());
      alpha_ = meant == Chroma::yuv444 && text == "alpha";
      const bool siting =
          meant == Chroma::yuv420 && (text == "jpeg" || text == "paldv" || text == "mpeg2");
      if (text.empty() || alpha_ || siting) return;
      if (meant != Chroma::mono && text.front() == 'p') text.remove_prefix(1);
      const auto bits = whole_number(text);
      if (bits && *bits >= 8 && *bits <= 16) {
        format_.bits = static_cast<int>(*bits);
        return;
      }
      break;
    }
    refuse(
        fmt::format("pixel format C{} is not one of mono, 411, 420, 422, 444 with 8 to 16 bits; "
                    "convert with ffmpeg -i CLIP -pix_fmt yuv420p -f yuv4mpegpipe -",
                    words::excerpt(whole)));
  }

  void parameter(char tag, std::string_view text) {
    switch (tag) {
      case 'W':
        format_.width = side(tag, text);
        break;
      case 'H':
        format_.height = side(tag, text);
        break;
      case 'F':
        format_.fps = rate(text);
        break;
      case 'I':
        interlace(text);
        break;
      case 'C':
        chroma(text);
        break;
      case 'X':
        if (text == "COLORRANGE=FULL") format_.full_range = true;
        break;
      case 'A':
        break;  // the shape of a pixel does not matter here
      default:
        refuse(fmt::format("its header has an unknown parameter '{}{}'", words::excerpt({&tag, 1}),
                           words::excerpt(text)));
    }
  }

  ClipFormat format_;
  bool alpha_ = false;
};

}  // namespace

std::string_view next_word(std::string_view& line) {
  const std::size_t from = line.find_first_not_of(' ');
  if (from == std::string_view::npos) {
    line = {};
    return {};
  }
  const std::size_t to = std::min(line.find(' ', from), line.size());
  const std::string_view word = line.substr(from, to - from);
  line.remove_prefix(to);
  return word;
}

Y4mHeader read_y4m_header(std::string_view line, const std::string& name) {
  return HeaderReader(name).read(line);
}

}  // namespace lampbeat::footage::clips
