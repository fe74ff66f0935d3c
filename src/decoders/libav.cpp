#include "decoders/libav.hpp"

#include <array>

namespace lampbeat::decoders {

std::string error_words(int code) {
  std::array<char, 128> text{};
  av_strerror(code, text.data(), text.size());
  return text.data();
}

}  // namespace lampbeat::decoders
