#include "reasoning/bands/lines.hpp"

#include <algorithm>
#include <cmath>

namespace lampbeat::reasoning::bands {

namespace {

void add_to(std::vector<RemainingRhythm>& lines, std::size_t among, double hz, double amplitude) {
  constexpr double equal = 1e-9;  // a rounding error apart
  const auto end = lines.begin() + static_cast<std::ptrdiff_t>(among);
  const auto same = std::find_if(lines.begin(), end, [&](const RemainingRhythm& line) {
    return std::abs(line.hz - hz) <= equal * hz;
  });
  if (same == end) {
    lines.push_back({hz, amplitude});
  } else {
    same->amplitude += amplitude;
  }
}

bool rise(std::span<const mixture::Harmonic> harmonics) {
  const auto falls = [](const mixture::Harmonic& a, const mixture::Harmonic& b) {
    return a.order >= b.order;
  };
  return std::adjacent_find(harmonics.begin(), harmonics.end(), falls) == harmonics.end();
}

}  // namespace

void add_line(std::vector<RemainingRhythm>& lines, double hz, double amplitude) {
  add_to(lines, lines.size(), hz, amplitude);
}

void put_strongest_first(std::vector<RemainingRhythm>& lines) {
  std::stable_sort(
      lines.begin(), lines.end(),
      [](const RemainingRhythm& a, const RemainingRhythm& b) { return a.amplitude > b.amplitude; });
}

std::vector<RemainingRhythm> lines_of(std::span<const mixture::Series> rows) {
  std::vector<RemainingRhythm> lines;
  for (const mixture::Series& series : rows) {
    // Orders that rise are lines apart: they can only equal those of others.
    const std::size_t others = lines.size();
    const bool apart = rise(series.harmonics);
    for (const mixture::Harmonic& h : series.harmonics) {
      add_to(lines, apart ? others : lines.size(), h.order * series.hz,
             std::sqrt(std::norm(h.amplitude)));
    }
  }
  put_strongest_first(lines);
  return lines;
}

}  // namespace lampbeat::reasoning::bands
