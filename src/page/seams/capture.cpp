#include <utility>

#include "capture/read_ahead.hpp"
#include "capture/sound/packed_sound.hpp"
#include "lampbeat/error.hpp"

// What of capturing needs threads or FFmpeg's libraries, which a page has not.

namespace lampbeat::capture {

std::unique_ptr<CaptureSource> read_ahead(std::unique_ptr<CaptureSource> source) { return source; }

std::unique_ptr<CaptureSource> sound::open_packed_sound(files::ByteSource bytes,
                                                        const CaptureOptions&) {
  throw InputError(bytes.name() +
                   ": this sound is compressed in a way the page does not read; save it as WAV, or "
                   "measure it with the program");
}

}  // namespace lampbeat::capture
