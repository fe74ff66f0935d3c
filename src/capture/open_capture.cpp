#include <cmath>
#include <cstdint>
#include <memory>
#include <utility>

#include <fmt/format.h>

#include "capture/file_kind.hpp"
#include "capture/inverted.hpp"
#include "capture/read_ahead.hpp"
#include "capture/sound/packed_sound.hpp"
#include "capture/sound/sound_file.hpp"
#include "capture/table/text_table.hpp"
#include "capture/unreadable.hpp"
#include "files/byte_source.hpp"
#include "lampbeat/capture.hpp"
#include "lampbeat/error.hpp"

namespace lampbeat {
namespace {

std::unique_ptr<CaptureSource> open_kind(capture::FileKind kind, files::ByteSource bytes,
                                         const CaptureOptions& options) {
  switch (kind) {
    case capture::FileKind::sound:
      return capture::sound::open_sound_file(std::move(bytes), options);
    case capture::FileKind::container:
      return capture::sound::open_packed_sound(std::move(bytes), options);
    case capture::FileKind::text:
      break;
  }
  return capture::table::open_text_table(std::move(bytes), options);
}

/// Some ten milliseconds of reading: far more than a thread costs.
constexpr std::uint64_t long_table_bytes = std::uint64_t{1} << 22;

}  // namespace

std::unique_ptr<CaptureSource> open_capture(const std::string& path,
                                            const CaptureOptions& options) {
  if (options.rate_hz && !(*options.rate_hz > 0.0 && std::isfinite(*options.rate_hz))) {
    throw UsageError(fmt::format(
        "--rate is a number of samples per second greater than 0, not {:g}", *options.rate_hz));
  }
  if (path.empty())
    throw UsageError("an empty name ('') names no capture; give a file, or - for a pipe");
  files::ByteSource bytes(path, capture::unreadable_capture);
  if (options.live) bytes.stop_at(options.live->stop_descriptor);
  const capture::FileKind kind = capture::file_kind(bytes.name(), bytes.look(64));
  const bool long_table = kind == capture::FileKind::text && !options.live &&
                          bytes.size().value_or(0) >= long_table_bytes;
  const CaptureOptions heard = options.invert ? capture::heard_inverted(options) : options;
  std::unique_ptr<CaptureSource> source = open_kind(kind, std::move(bytes), heard);
  if (long_table) source = capture::read_ahead(std::move(source));
  return options.invert ? capture::inverted(std::move(source)) : std::move(source);
}

}  // namespace lampbeat
