#include "signal/left_over/hum.hpp"

#include <algorithm>
#include <cmath>

namespace lampbeat::signal::left_over {
namespace {

/// Mains within its tolerance of every day from one recording to the next (EN 50160: 1 %).
constexpr double same_line = 0.01;
/// Hum is no steadier than this from one recording to the next.
constexpr double as_strong = 1.4;
constexpr double within_sds = 3.0;  ///< noise makes a line farther off once in 740

const DarkLine* line_at(double hz, const DarkRecording& dark) {
  const auto line = std::find_if(dark.lines.begin(), dark.lines.end(), [&](const DarkLine& l) {
    return std::abs(l.hz - hz) <= same_line * hz;
  });
  return line == dark.lines.end() ? nullptr : &*line;
}

bool is_hum(const Tone& tone, const DarkLine& line) {
  const double sd = std::hypot(tone.amplitude_sd, line.amplitude_sd);
  return tone.amplitude <= as_strong * line.amplitude + within_sds * sd;
}

bool among(const Tone& tone, const std::vector<Hum>& hum) {
  return std::any_of(hum.begin(), hum.end(),
                     [&](const Hum& h) { return std::abs(h.hz - tone.hz) <= same_line * h.hz; });
}

}  // namespace

std::vector<Hum> hum_in(const ToneAnalysis& tones, const DarkRecording& dark) {
  std::vector<Hum> hum;
  for (const ToneSeries& series : tones.series) {
    for (const Tone& tone : series.tones) {
      const DarkLine* line = line_at(tone.hz, dark);
      if (!line || !is_hum(tone, *line)) continue;
      hum.push_back({tone.hz, tone.amplitude, tone.amplitude + line->amplitude});
    }
  }
  return hum;
}

ToneAnalysis without_hum(const ToneAnalysis& tones, const std::vector<Hum>& hum) {
  if (hum.empty()) return tones;
  ToneAnalysis rest = tones;
  for (ToneSeries& series : rest.series) {
    std::erase_if(series.tones, [&](const Tone& tone) { return among(tone, hum); });
  }
  std::erase_if(rest.series, [](const ToneSeries& series) { return series.tones.empty(); });
  return rest;
}

std::vector<double> hum_taken_out(const Window& window, const ToneAnalysis& tones,
                                  const std::vector<Hum>& hum) {
  ToneAnalysis taken;
  taken.series.emplace_back();
  for (const ToneSeries& series : tones.series) {
    for (const Tone& tone : series.tones) {
      if (among(tone, hum)) taken.series.front().tones.push_back(tone);
    }
  }
  std::vector<double> value(window.value.begin(), window.value.end());
  for (std::size_t i = 0; i < value.size(); ++i) value[i] -= model_at(taken, window.time_at(i));
  return value;
}

double hum_beneath(const ToneAnalysis& tones, const DarkRecording& dark) {
  double squares = 0.0;
  for (const ToneSeries& series : tones.series) {
    for (const Tone& tone : series.tones) {
      const DarkLine* line = line_at(tone.hz, dark);
      if (line && !is_hum(tone, *line)) squares += line->amplitude * line->amplitude / 2.0;
    }
  }
  return std::sqrt(squares);
}

}  // namespace lampbeat::signal::left_over
