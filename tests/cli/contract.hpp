#pragma once

#include <algorithm>
#include <cmath>
#include <functional>
#include <nlohmann/json.hpp>
#include <sstream>
#include <string>
#include <vector>

#include "support/catch.hpp"
#include "support/run_program.hpp"
#include "support/wav_bytes.hpp"

// Captures written byte by byte, without the library, and the program's JSON answers about them.

namespace lampbeat::test {

using Json = nlohmann::json;

inline constexpr double sampling_hz = 20000.0;
inline constexpr int three_seconds = 60000;

/// `count` samples of a light given over time.
inline std::vector<double> sampled(const std::function<double(double)>& light,
                                   int count = three_seconds, double rate_hz = sampling_hz) {
  std::vector<double> samples(static_cast<std::size_t>(count));
  for (int i = 0; i < count; ++i) samples[static_cast<std::size_t>(i)] = light(i / rate_hz);
  return samples;
}

/// Every line as a JSON object; "nan" and "inf" are no JSON and fail here.
inline std::vector<Json> json_lines(const std::string& text) {
  std::vector<Json> objects;
  std::istringstream stream(text);
  for (std::string line; std::getline(stream, line);) {
    objects.push_back(Json::parse(line));
    REQUIRE(objects.back().is_object());
    REQUIRE(objects.back().contains("schema"));
  }
  return objects;
}

/// The one object that a command prints with --json.
inline Json answer(const std::string& arguments, int exit_code = 0) {
  const RunResult run = run_lampbeat(arguments + " --json");
  INFO(arguments << "\n" << run.err);
  REQUIRE(run.exit_code == exit_code);
  const auto objects = json_lines(run.out);
  REQUIRE(objects.size() == 1);
  return objects.front();
}

inline std::size_t line_count(const std::string& text) {
  return static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n'));
}

inline bool mentions(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

}  // namespace lampbeat::test
