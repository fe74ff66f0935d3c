#pragma once

#include <string>
#include <vector>

#include "lampbeat/capture.hpp"
#include "lampbeat/error.hpp"
#include "support/findings.hpp"

namespace lampbeat::test {

/// A capture read to its end.
struct Reading {
  CaptureFormat format;
  std::vector<double> value;
  std::vector<double> time_s;
  Findings findings;

  bool has(const std::string& code) const { return has_finding(findings, code); }
  std::string message(const std::string& code) const {
    const Finding* found = finding(findings, code);
    return found ? found->message : "";
  }
};

inline Reading read_all(CaptureSource& source) {
  Reading reading;
  reading.format = source.format();
  for (;;) {
    const SampleBlock block = source.next();
    if (block.value.empty()) break;
    reading.value.insert(reading.value.end(), block.value.begin(), block.value.end());
    reading.time_s.insert(reading.time_s.end(), block.time_s.begin(), block.time_s.end());
  }
  reading.findings = source.findings();
  return reading;
}

inline Reading read_all(const std::string& path, const CaptureOptions& options = {}) {
  return read_all(*open_capture(path, options));
}

/// The message of the error a capture ends in: "InputError: ..." or "UsageError: ...".
inline std::string complaint(const std::string& path, const CaptureOptions& options = {}) {
  try {
    read_all(path, options);
  } catch (const InputError& error) {
    return std::string("InputError: ") + error.what();
  } catch (const UsageError& error) {
    return std::string("UsageError: ") + error.what();
  }
  return "read without complaint";
}

}  // namespace lampbeat::test
