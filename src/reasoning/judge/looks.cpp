#include "reasoning/judge/looks.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "reasoning/judge/gain_bound.hpp"

namespace lampbeat::reasoning::judge {
namespace {

/// A look at most a sixteenth of a lobe beside its top misses 1 − cos(π/16), 2 % of it.
constexpr double steps_per_lobe = 8.0;
/// To either side. A tolerance within one lobe still bends the roll; of one beyond three lobes
/// `places_over` and `looks_between` find the tops.
constexpr double fewest_steps = 8.0;
constexpr double most_steps = 24.0;
/// A tolerance of many lobes, or of many turns of the roll, is looked at in this many places.
constexpr int most_places = 8;
/// Clocks followed one by one; those of weaker rhythms only stand where they leave most.
constexpr std::size_t most_carriers = 4;

/// Of what an exposure can leave of a clock's rhythms: the strongest line, and the fastest that is
/// a tenth of it or more.
struct Pace {
  double strongest = 0.0;
  double strongest_hz = 0.0;
  double fastest_hz = 0.0;
  bool unexplained = false;
};

/// The rhythms that follow one clock.
using Followers = std::vector<const MovingSeries*>;

std::vector<Followers> by_clock(const Scene& scene) {
  std::vector<Followers> each(scene.clocks.size());
  for (const MovingSeries& r : scene.rhythms) each[r.clock].push_back(&r);
  return each;
}

Pace pace_of(const Followers& rhythms, const Clock& c, double exposure_s) {
  Pace pace;
  std::vector<std::pair<double, double>> lines;  // what can be left, hertz
  for (const MovingSeries* r : rhythms) {
    pace.unexplained = r->unexplained;
    for (std::size_t i = 0; i < r->harmonics.size(); ++i) {
      const double hz = r->harmonics[i].order * (r->own_hz + r->side_hz);
      const double cycles = hz * exposure_s;
      const double left =
          r->strengths[i] * greatest_gain(cycles * (1.0 + c.low), cycles * (1.0 + c.high));
      lines.push_back({left, hz});
      if (left <= pace.strongest) continue;
      pace.strongest = left;
      pace.strongest_hz = hz;
    }
  }
  for (const auto& [left, hz] : lines) {
    if (left >= 0.1 * pace.strongest) pace.fastest_hz = std::max(pace.fastest_hz, hz);
  }
  return pace;
}

std::vector<double> evenly(const Clock& clock, double steps) {
  std::vector<double> offsets = {0.0};
  for (double i = 1.0; i <= steps; ++i) {
    if (clock.low < 0.0) offsets.push_back(clock.low * i / steps);
    if (clock.high > 0.0) offsets.push_back(clock.high * i / steps);
  }
  return offsets;
}

/// The nearest top of a lobe of the gain at `hz`.
double lobe_top_hz(double hz, double exposure_s) {
  const double cycles = hz * exposure_s;
  if (cycles < 1.0) return hz;
  const double middle = std::floor(cycles) + 0.5;
  return (middle - 1.0 / (std::numbers::pi * std::numbers::pi * middle)) / exposure_s;
}

/// From the top of a lobe to where the bands stand still, at the nearest multiples of the frame
/// rate: fine patterns are most visible there, coarse ones when they roll a little.
void add_place(std::vector<double>& hz, double top_hz, double fps) {
  constexpr std::array<double, 4> off_standing_hz = {0.0, 2.0, 5.0, 9.0};
  hz.push_back(top_hz);
  const double below = fps * std::floor(top_hz / fps);
  for (const double off : off_standing_hz) {
    if (2.0 * off > fps) continue;
    hz.push_back(below + off);
    if (off > 0.0) hz.push_back(below + fps - off);
  }
  hz.push_back(below + fps);
}

/// Places spread over the range, each around the top of a lobe.
std::vector<double> places_over(const Clock& clock, const Pace& pace, double exposure_s,
                                FrameRate fps) {
  std::vector<double> hz;
  const double low_hz = pace.strongest_hz * (1.0 + clock.low);
  const double high_hz = pace.strongest_hz * (1.0 + clock.high);
  const double lobes = (high_hz - low_hz) * exposure_s;
  const double turns = (high_hz - low_hz) / fps.per_s();
  const int places =
      static_cast<int>(std::clamp(std::ceil(std::max(lobes, turns)), 1.0, double(most_places)));
  for (int i = 0; i <= places; ++i) {
    const double near_hz = low_hz + (high_hz - low_hz) * i / places;
    add_place(hz, lobe_top_hz(near_hz, exposure_s), fps.per_s());
  }
  std::vector<double> offsets;
  for (const double at_hz : hz) {
    if (at_hz > low_hz && at_hz < high_hz) offsets.push_back(at_hz / pace.strongest_hz - 1.0);
  }
  return offsets;
}

/// A band of frequencies: by even ratios, and where it holds lobes, at the first of their tops.
std::vector<double> in_band(const Clock& clock, const Pace& pace, double exposure_s) {
  constexpr int ratios = 48;  // of three decades, each step is a sixth: the eye changes more slowly
  std::vector<double> offsets;
  const double low_hz = pace.strongest_hz * (1.0 + clock.low);
  const double high_hz = pace.strongest_hz * (1.0 + clock.high);
  for (int i = 0; i <= ratios; ++i) {
    const double hz = low_hz * std::pow(high_hz / low_hz, double(i) / ratios);
    for (const double at_hz : {hz, lobe_top_hz(hz, exposure_s)}) {
      if (at_hz >= low_hz && at_hz <= high_hz) offsets.push_back(at_hz / pace.strongest_hz - 1.0);
    }
  }
  return offsets;
}

std::vector<double> offsets_over(const Clock& clock, const Pace& pace, double exposure_s,
                                 FrameRate fps) {
  if (pace.unexplained) return in_band(clock, pace, exposure_s);
  const double reach = std::max(-clock.low, clock.high);
  if (!(reach > 0.0) || pace.strongest == 0.0) return {0.0};
  const double lobes = steps_per_lobe * reach * pace.fastest_hz * exposure_s;
  std::vector<double> offsets =
      evenly(clock, std::clamp(std::ceil(lobes), fewest_steps, most_steps));
  if (reach * pace.strongest_hz > 1.0) {
    const std::vector<double> places = places_over(clock, pace, exposure_s, fps);
    offsets.insert(offsets.end(), places.begin(), places.end());
  }
  return offsets;
}

/// How much a clock's rhythms are left swinging.
double left_of(const Followers& rhythms, double exposure_s, double offset) {
  double left = 0.0;
  for (const MovingSeries* r : rhythms) {
    const Swing swing = r->swing.at((r->own_hz * (1.0 + offset) + r->side_hz) * exposure_s);
    left += swing.up + swing.down;
  }
  return left;
}

}  // namespace

Looks looks_over(const Scene& scene, double exposure_s, FrameRate fps) {
  const std::size_t clocks = scene.clocks.size();
  std::vector<std::vector<double>> grids;
  std::vector<double> fullest(clocks, 0.0);
  std::vector<std::pair<double, std::size_t>> carriers;
  const std::vector<Followers> followers = by_clock(scene);
  for (std::size_t c = 0; c < clocks; ++c) {
    const Pace pace = pace_of(followers[c], scene.clocks[c], exposure_s);
    grids.push_back(offsets_over(scene.clocks[c], pace, exposure_s, fps));
    if (grids[c].size() < 2) continue;
    double most = 0.0;
    for (const double offset : grids[c]) {
      const double left = left_of(followers[c], exposure_s, offset);
      if (left <= most) continue;
      most = left;
      fullest[c] = offset;
    }
    carriers.push_back({most, c});
  }
  std::sort(carriers.rbegin(), carriers.rend());
  if (carriers.size() > most_carriers) carriers.resize(most_carriers);
  Looks looks;
  looks.all.push_back(Offsets(clocks, 0.0));
  for (const auto& [most, clock] : carriers) {
    for (const double offset : grids[clock]) {
      if (offset == fullest[clock]) looks.fullest = looks.all.size();
      looks.all.push_back(fullest);
      looks.all.back()[clock] = offset;
    }
  }
  return looks;
}

std::vector<Offsets> looks_between(const std::vector<Offsets>& looks, std::size_t at) {
  constexpr int between = 5;  // with two rounds, to a thirty-sixth of the first grid
  std::vector<Offsets> finer;
  const Offsets& best = looks[at];
  for (std::size_t clock = 0; clock < best.size(); ++clock) {
    double below = -2.0;
    double above = 2.0;
    for (const Offsets& other : looks) {
      if (other[clock] < best[clock]) below = std::max(below, other[clock]);
      if (other[clock] > best[clock]) above = std::min(above, other[clock]);
    }
    for (const double neighbour : {below, above}) {
      if (std::abs(neighbour) > 1.0) continue;
      for (int i = 1; i <= between; ++i) {
        finer.push_back(best);
        finer.back()[clock] += (neighbour - best[clock]) * i / (between + 1);
      }
    }
  }
  return finer;
}

}  // namespace lampbeat::reasoning::judge
