#include "reasoning/bands/lines.hpp"

#include <algorithm>
#include <cmath>

namespace lampbeat::reasoning::bands {

void add_line(std::vector<RemainingRhythm>& lines, double hz, double amplitude) {
  constexpr double equal = 1e-9;  // a rounding error apart
  const auto same = std::find_if(lines.begin(), lines.end(), [&](const RemainingRhythm& line) {
    return std::abs(line.hz - hz) <= equal * hz;
  });
  if (same == lines.end()) {
    lines.push_back({hz, amplitude});
  } else {
    same->amplitude += amplitude;
  }
}

void put_strongest_first(std::vector<RemainingRhythm>& lines) {
  std::stable_sort(
      lines.begin(), lines.end(),
      [](const RemainingRhythm& a, const RemainingRhythm& b) { return a.amplitude > b.amplitude; });
}

std::vector<RemainingRhythm> lines_of(std::span<const mixture::Series> rows) {
  std::vector<RemainingRhythm> lines;
  for (const mixture::Series& series : rows) {
    for (const mixture::Harmonic& h : series.harmonics) {
      add_line(lines, h.order * series.hz, std::abs(h.amplitude));
    }
  }
  put_strongest_first(lines);
  return lines;
}

}  // namespace lampbeat::reasoning::bands
