#include "reasoning/camera/shutter_words.hpp"

#include <fmt/format.h>

#include "words/numbers.hpp"

namespace lampbeat::reasoning::camera {

std::string shutter_words(const std::string& label, double exposure_s) {
  const bool angle = label.find("\u00b0") != std::string::npos;
  if (angle) return fmt::format("{} ({} ms)", label, words::in_digits_at_most(1e3 * exposure_s, 4));
  const bool unit = !label.empty() && label.back() == 's';
  return unit ? label : label + " s";
}

}  // namespace lampbeat::reasoning::camera
