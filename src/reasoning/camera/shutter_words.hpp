#pragma once

#include <string>

namespace lampbeat::reasoning::camera {

/// "1/50 s", "270° (30 ms)": a label as a person would say it.
std::string shutter_words(const std::string& label, double exposure_s);

}  // namespace lampbeat::reasoning::camera
