#include "lampbeat/camera.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "lampbeat/error.hpp"
#include "words/characters.hpp"
#include "words/foreign_text.hpp"
#include "words/numbers.hpp"

namespace lampbeat {

namespace {

/// "16 ms", or "16 ms (4.17 ms at 240 fps: the whole frame)".
std::string assumed_words(std::span<const FrameRate> rates) {
  constexpr int most_named = 3;  // the sentence stays one
  std::string words;
  std::string shorter;
  int count = 0;
  for (const FrameRate fps : rates) {
    if (fps.frame_s() >= assumed_readout_s) {
      words = fmt::format("{} ms", words::in_digits_at_most(1e3 * assumed_readout_s, 3));
      continue;
    }
    ++count;
    shorter += fmt::format("{}{} ms at {} fps", shorter.empty() ? "" : ", ",
                           words::in_digits_at_most(1e3 * fps.frame_s(), 3), frame_rate_label(fps));
  }
  if (shorter.empty()) return words;
  if (count > most_named) return words + " (the whole frame where that is shorter)";
  return words.empty() ? shorter : fmt::format("{} ({}: the whole frame)", words, shorter);
}

}  // namespace

const std::vector<FrameRate>& customary_frame_rates() {
  static const std::vector<FrameRate> rates = {
      {24000, 1001}, {24, 1},        {25, 1},  {30000, 1001}, {30, 1},        {48, 1},
      {50, 1},       {60000, 1001},  {60, 1},  {100, 1},      {120000, 1001}, {120, 1},
      {200, 1},      {240000, 1001}, {240, 1}, {480, 1},      {960, 1}};
  return rates;
}

const CameraMode& mode_named(const Camera& camera, const std::string& name) {
  if (name.empty() && camera.modes.size() == 1) return camera.modes.front();
  const auto found =
      std::find_if(camera.modes.begin(), camera.modes.end(), [&](const CameraMode& mode) {
        return !name.empty() && words::small_letters(mode.name) == words::small_letters(name);
      });
  if (found != camera.modes.end()) return *found;
  constexpr std::size_t most_listed = 20;  // a screenful
  std::string known;
  for (std::size_t i = 0; i < std::min(camera.modes.size(), most_listed); ++i) {
    known += fmt::format("{}'{}'", i == 0 ? "" : ", ", camera.modes[i].name);
  }
  if (camera.modes.size() > most_listed) known += ", ...";
  if (name.empty()) {
    throw UsageError(
        fmt::format("'{}' has several modes; name one of {} with --mode", camera.name, known));
  }
  throw UsageError(fmt::format("'{}' has no mode called '{}'; it has {}", camera.name,
                               words::excerpt(name), known));
}

double readout_taken_s(std::optional<double> known_s, FrameRate fps) {
  return known_s.value_or(std::min(assumed_readout_s, fps.frame_s()));
}

Shot shot_of(FrameRate fps, double exposure_s, std::optional<double> readout_s, int rows) {
  return {fps, exposure_s, readout_taken_s(readout_s, fps), rows, !readout_s};
}

bool readable_in(double readout_s, FrameRate fps) {
  constexpr double as_written = 1.01;  // 16.7 ms stands for 1/60, and measured ones have their ±
  return readout_s <= as_written * fps.frame_s();
}

std::vector<FrameRate> those_readable(std::vector<FrameRate> rates, std::optional<double> known_s) {
  if (known_s) std::erase_if(rates, [&](FrameRate fps) { return !readable_in(*known_s, fps); });
  return rates;
}

void require_readable(std::optional<double> known_s, std::span<const FrameRate> rates) {
  if (!known_s) return;
  std::string impossible;
  for (const FrameRate fps : rates) {
    if (readable_in(*known_s, fps)) continue;
    impossible +=
        fmt::format("{}{} fps (a frame of {} ms)", impossible.empty() ? "" : ", ",
                    frame_rate_label(fps), words::in_digits_at_most(1e3 * fps.frame_s(), 3));
  }
  if (impossible.empty()) return;
  throw UsageError(
      fmt::format("a readout of {} ms does not fit at {}: no sensor reads a picture for "
                  "longer than it lasts. Give the readout of that mode, or leave --readout out.",
                  words::in_digits_at_most(1e3 * *known_s, 4), impossible));
}

Finding assumed_readout_finding(std::span<const FrameRate> rates) {
  return {"readout_assumed",
          fmt::format("How long your camera takes to read a picture is not known; {} was assumed. "
                      "This changes how many bands you would see, but hardly how strong they are. "
                      "'lampbeat footage' measures it.",
                      assumed_words(rates))};
}

}  // namespace lampbeat
