#pragma once

#include <optional>
#include <string>
#include <vector>

#include "files/json.hpp"
#include "lampbeat/prediction.hpp"

namespace lampbeat::page {

using files::json::Json;

/// What the page's controls are set to, in the notation people write.
struct Asked {
  std::vector<LightShare> lights;
  PredictionOptions options;
  FrameRate fps;
  std::string shutter;
  std::optional<double> readout_s;  ///< empty: not known
};

/// Of {"lights": [{"typical" | "hz" | "profile": TEXT, "share": NUMBER}], "mains": TEXT, "fps":
/// TEXT, "shutter": TEXT, "readout": TEXT}, read as the program reads its options. Throws
/// UsageError and InputError as it does.
Asked asked_for(const Json& request);

/// The shot asked for.
Shot shot_asked_for(const Asked& asked);

/// A text of the request; empty where there is none.
std::string text_of(const Json& request, const char* key);

}  // namespace lampbeat::page
