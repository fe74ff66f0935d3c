#pragma once

#include <algorithm>
#include <string>
#include <string_view>
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

/// Whether one of them has this code.
inline bool has_finding(const Findings& findings, std::string_view code) {
  return std::any_of(findings.begin(), findings.end(),
                     [&](const Finding& finding) { return finding.code == code; });
}

}  // namespace lampbeat
