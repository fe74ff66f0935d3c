#pragma once

#include <algorithm>
#include <string_view>

#include "lampbeat/finding.hpp"

// What a result says beside its figures, looked up by code.

namespace lampbeat::test {

/// The first finding of this code; nullptr when there is none.
inline const Finding* finding(const Findings& findings, std::string_view code) {
  const auto found = std::find_if(findings.begin(), findings.end(),
                                  [&](const Finding& f) { return f.code == code; });
  return found == findings.end() ? nullptr : &*found;
}

using lampbeat::has_finding;

/// The same among the warnings of a measurement or of a clip's result.
template <typename Result>
requires requires(const Result& result) { result.warnings; }
const Finding* finding(const Result& result, std::string_view code) {
  return finding(result.warnings, code);
}

template <typename Result>
requires requires(const Result& result) { result.warnings; }
bool warns(const Result& result, std::string_view code) {
  return has_finding(result.warnings, code);
}

}  // namespace lampbeat::test
