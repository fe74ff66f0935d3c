// What limits the figures of a clip when sensor noise does not: code values, block coding, few
// bands, few turns. Clips of known content are drawn at random, coded, taken apart, and the errors
// compared with what the fit alone and what the joined estimate state. Seeds, sizes and ranges are
// this program's own: no test uses these clips.
//   bench_footage_floors [clips per row]
//
// Columns: root mean square of the errors of amplitude and bands in percent of themselves, of roll
// in turns over the clip; then of the same errors over the stated standard uncertainties, 1.0 where
// these say just what happens. `few` bands: below 0.75.

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <complex>
#include <cstdlib>
#include <functional>
#include <numbers>
#include <random>
#include <vector>

#include "bench/block_coder.hpp"
#include "footage/stretches/combine.hpp"
#include "footage/stretches/separation.hpp"
#include "footage/stretches/stretch.hpp"
#include "support/clip_renderer.hpp"

namespace {

using namespace lampbeat;
using lampbeat::test::BlockCoder;
using lampbeat::test::FilmedClip;
using lampbeat::test::FilmedScene;

constexpr double turn = 2.0 * std::numbers::pi;
using Random = std::mt19937;

double between(Random& random, double low, double high) {
  return std::uniform_real_distribution<double>(low, high)(random);
}

struct Condition {
  const char* name;
  double fewest_bands, most_bands;
  double fewest_turns, most_turns;
  double noise = 0.0;
  double texture = 0.0;
  double block_step = 0.0;  // 0: not coded
};

struct Drawn {
  FilmedScene scene;
  double amplitude = 0.0;
  double bands = 0.0;
  double roll = 0.0;
};

Drawn draw(const Condition& c, Random& random) {
  const FrameRate rates[] = {{24000, 1001}, {25, 1}, {30000, 1001}, {30, 1}, {48, 1}};
  Drawn d;
  FilmedScene& s = d.scene;
  s.width = 96;
  s.height = 104;
  double hz = 0.0;
  double turns = -1.0;
  while (turns < c.fewest_turns || turns > c.most_turns) {
    s.fps = rates[std::uniform_int_distribution<int>(0, 4)(random)];
    s.seconds = between(random, 2.0, 4.5);
    hz = between(random, 80.0, 330.0);
    d.roll = hz / s.fps.per_s();
    d.roll -= std::round(d.roll);
    turns = std::abs(d.roll) * std::round(s.seconds * s.fps.per_s());
  }
  d.bands = between(random, c.fewest_bands, c.most_bands);
  s.readout_s = d.bands / hz;
  s.exposure_s = between(random, 0.0005, 0.4 / hz);
  const double ripple = between(random, 0.05, 0.35);
  s.light.components.push_back({hz, ripple, between(random, -3.0, 3.0), std::nullopt});
  s.light.components.push_back({2 * hz, 0.15 * ripple, between(random, -3.0, 3.0), std::nullopt});
  const double x = std::numbers::pi * hz * s.exposure_s;
  d.amplitude = ripple * std::sin(x) / x;
  s.noise = c.noise;
  s.texture = c.texture;
  s.gradient = c.texture > 0.0 ? 0.4 : 0.0;
  s.level = between(random, 0.12, 0.4);
  s.seed = static_cast<unsigned>(random());
  return d;
}

footage::rows::Cells filmed(const Drawn& d, double block_step) {
  static const BlockCoder coder;
  FilmedClip clip(d.scene);
  footage::rows::FrameReducer reducer(clip.format(), {}, false);
  footage::rows::Cells cells = reducer.stretch();
  while (const auto* luma = clip.next()) {
    std::vector<std::uint16_t> coded = *luma;
    if (block_step > 0.0) {
      coder.code(coded, static_cast<std::size_t>(d.scene.width), block_step);
    }
    reducer.add(coded, cells);
  }
  return cells;
}

struct Squares {
  double sum = 0.0;
  double count = 0.0;
  void add(double v) {
    sum += v * v;
    count += 1.0;
  }
  double rms() const { return count > 0.0 ? std::sqrt(sum / count) : 0.0; }
};

void print_errors(const Condition& c, int clips) {
  Random random(90210);
  std::array<Squares, 3> error;
  std::array<Squares, 3> over_fit;
  std::array<Squares, 3> over_stated;
  int missed = 0;
  for (int i = 0; i < clips; ++i) {
    const Drawn d = draw(c, random);
    const footage::stretches::StretchEstimate estimate =
        footage::stretches::analyse(filmed(d, c.block_step));
    footage::stretches::Combined combined;
    combined.add(estimate);
    const auto waves = combined.waves();
    if (waves.empty() || estimate.waves.empty()) {
      ++missed;
      continue;
    }
    const auto errors = [&](const footage::waves::Wave& w) {
      return std::array{std::abs(w.harmonics.front().amplitude) - d.amplitude, w.bands - d.bands,
                        std::remainder(w.roll - d.roll, 1.0)};
    };
    const auto sds = [](const footage::waves::Wave& w) {
      return std::array{w.harmonics.front().sd, w.bands_sd, w.roll_sd};
    };
    const std::array truth{d.amplitude / 100.0, d.bands / 100.0,
                           1.0 / static_cast<double>(estimate.frames)};
    for (std::size_t k = 0; k < 3; ++k) {
      error[k].add(errors(waves.front())[k] / truth[k]);
      over_fit[k].add(errors(waves.front())[k] / sds(estimate.waves.front())[k]);
      over_stated[k].add(errors(waves.front())[k] / sds(waves.front())[k]);
    }
  }
  fmt::print(
      "{:<36} {:7.3f} {:7.3f} {:8.4f}  {:7.1f} {:7.1f} {:7.1f}  {:6.2f} {:6.2f} {:6.2f} {:5}\n",
      c.name, error[0].rms(), error[1].rms(), error[2].rms(), over_fit[0].rms(), over_fit[1].rms(),
      over_fit[2].rms(), over_stated[0].rms(), over_stated[1].rms(), over_stated[2].rms(), missed);
  std::fflush(stdout);
}

/// How far rounding moves the fundamental of a cosine, in steps, over its offsets.
void print_rounding() {
  fmt::print("\nrounding without dither: error of a cosine's amplitude, in code steps\n");
  fmt::print("{:>22} {:>10}\n", "amplitude in steps", "rms");
  const std::array<std::array<double, 2>, 5> ranges{
      {{0.25, 0.5}, {0.5, 1.0}, {1.0, 3.0}, {3.0, 10.0}, {10.0, 30.0}}};
  for (const auto& [low, high] : ranges) {
    Squares off;
    for (int i = 0; i < 40; ++i) {
      const double amplitude = low + (high - low) * (i + 0.5) / 40.0;
      for (int o = 0; o < 20; ++o) {
        double sum = 0.0;
        for (int n = 0; n < 2000; ++n) {
          const double cosine = std::cos(turn * (n + 0.5) / 2000.0);
          sum += std::round(amplitude * cosine + o / 20.0) * cosine;
        }
        off.add(2.0 * sum / 2000.0 - amplitude);
      }
    }
    fmt::print("{:>14} … {:<5} {:>10.3f}\n", low, high, off.rms());
  }
}

/// How much rounds beyond the usual ones change the strongest wave, over what its fit states.
void print_rounds(int clips) {
  fmt::print("\nchange by further rounds, over the fit's uncertainty (amplitude, bands, roll)\n");
  const Condition conditions[] = {{"many bands", 1.2, 6.0, 3.0, 60.0, 0.01, 0.05},
                                  {"few bands", 0.3, 0.75, 3.0, 60.0, 0.01, 0.05}};
  const auto usual = footage::stretches::usual_rounds();
  for (const Condition& c : conditions) {
    for (std::size_t rounds = 3; rounds <= 7; ++rounds) {
      Random random(4711);
      std::array<Squares, 3> change;
      for (int i = 0; i < clips; ++i) {
        const footage::rows::Cells cells = filmed(draw(c, random), 0.0);
        std::vector<footage::stretches::Round> more(usual.begin(), usual.end());
        more.resize(rounds, footage::stretches::Round::settle);
        const auto here = footage::stretches::separated(cells, more).waves;
        more.resize(12, footage::stretches::Round::settle);
        const auto settled = footage::stretches::separated(cells, more).waves;
        if (here.empty() || settled.empty()) continue;
        const footage::waves::Wave& a = here.front();
        const footage::waves::Wave& b = settled.front();
        change[0].add(
            (std::abs(a.harmonics.front().amplitude) - std::abs(b.harmonics.front().amplitude)) /
            b.harmonics.front().sd);
        change[1].add((a.bands - b.bands) / b.bands_sd);
        change[2].add(std::remainder(a.roll - b.roll, 1.0) / b.roll_sd);
      }
      fmt::print("{:<12} {} rounds instead of 12: {:8.4f} {:8.4f} {:8.4f}\n", c.name, rounds,
                 change[0].rms(), change[1].rms(), change[2].rms());
      std::fflush(stdout);
    }
  }
}

}  // namespace

int main(int count, char** arguments) {
  const int clips = count > 1 ? std::atoi(arguments[1]) : 30;
  fmt::print("{:<36} {:^24}  {:^23}  {:^20}\n", "", "rms error: ampl %, bands %, roll",
             "over the fit's sd", "over the stated sd");
  const Condition conditions[] = {
      {"rounding alone, plain wall", 1.2, 6.0, 3.0, 60.0},
      {"noise 1 %, plain wall", 1.2, 6.0, 3.0, 60.0, 0.01},
      {"noise 1 %, texture", 1.2, 6.0, 3.0, 60.0, 0.01, 0.08},
      {"block coded, step 4, texture", 1.2, 6.0, 3.0, 60.0, 0.01, 0.08, 4.0},
      {"block coded, step 8, texture", 1.2, 6.0, 3.0, 60.0, 0.01, 0.08, 8.0},
      {"block coded, step 16, texture", 1.2, 6.0, 3.0, 60.0, 0.01, 0.08, 16.0},
      {"few turns (1 … 2)", 1.2, 6.0, 1.0, 2.0, 0.01, 0.08, 8.0},
      {"1.2 … 2 bands, few turns", 1.2, 2.0, 1.0, 2.0, 0.01, 0.08, 8.0},
      {"0.75 … 1.2 bands", 0.75, 1.2, 3.0, 60.0, 0.01, 0.08, 8.0},
      {"few bands", 0.4, 0.75, 3.0, 60.0, 0.01, 0.08, 8.0},
      {"few bands, few turns", 0.4, 0.75, 1.5, 3.0, 0.01, 0.08, 8.0},
      {"very few bands", 0.2, 0.375, 3.0, 60.0, 0.01, 0.08, 8.0},
  };
  for (const Condition& c : conditions) print_errors(c, clips);
  print_rounding();
  print_rounds(std::max(clips / 4, 2));
  return 0;
}
