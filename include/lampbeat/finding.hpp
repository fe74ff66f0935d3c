#pragma once

#include <string>
#include <vector>

namespace lampbeat {

/// Something a stage noticed although it could go on: a doubt, a limit, a missing figure.
///
/// `message` alone must be enough for a person: what was seen, how big the effect is, what to do.
/// `code` is for programs: lower case words joined by underscores, stable between versions.
struct Finding {
  std::string code;
  std::string message;
};

using Findings = std::vector<Finding>;

}  // namespace lampbeat
