#pragma once

#include <sndfile.h>

#include <memory>

namespace lampbeat::capture::sound {

struct CloseSound {
  void operator()(SNDFILE* file) const { sf_close(file); }
};
using SoundHandle = std::unique_ptr<SNDFILE, CloseSound>;

}  // namespace lampbeat::capture::sound
