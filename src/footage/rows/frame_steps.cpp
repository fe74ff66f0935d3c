#include "footage/rows/frame_steps.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>

#include "arithmetic/phase.hpp"

namespace lampbeat::footage {

namespace {

constexpr double turn = 2.0 * std::numbers::pi;
// Clearer than this, in turns, or nothing is said.
constexpr double clear_phase = 0.04;
// Uneven by this much of a turn is uneven.
constexpr double uneven = 0.02;
constexpr std::size_t most_lost_at_once = 3;
// Shares of the steps.
constexpr double most_of_them = 0.6;
constexpr double nearly_all = 0.985;

struct Step {
  std::size_t to = 0;
  double turns = 0.0;
};

std::vector<Step> steps_between(const FramePhases& phases) {
  std::vector<Step> steps;
  for (std::size_t n = 1; n < phases.amplitude.size(); ++n) {
    const auto a = phases.amplitude[n - 1];
    const auto b = phases.amplitude[n];
    if (a == 0.0 || b == 0.0) continue;
    steps.push_back({n, std::arg(b * std::conj(a)) / turn});
  }
  return steps;
}

std::size_t near(const std::vector<Step>& steps, double step, double tolerance) {
  return static_cast<std::size_t>(std::count_if(steps.begin(), steps.end(), [&](const Step& s) {
    return std::abs(arithmetic::wrapped_turns(s.turns - step)) < tolerance;
  }));
}

/// The step most of them make.
double usual_step(const std::vector<Step>& steps, double tolerance) {
  double best = 0.0;
  std::size_t most = 0;
  for (int i = -100; i < 100; ++i) {
    const std::size_t count = near(steps, 0.005 * i, tolerance);
    if (count > most) {
      most = count;
      best = 0.005 * i;
    }
  }
  double off = 0.0;
  for (const Step& s : steps) {
    const double d = arithmetic::wrapped_turns(s.turns - best);
    if (std::abs(d) < tolerance) off += d;
  }
  return best + off / std::max(static_cast<double>(most), 1.0);
}

double scatter_of(const std::vector<Step>& steps, double step, double tolerance) {
  std::vector<double> off;
  for (const Step& s : steps) {
    const double d = std::abs(arithmetic::wrapped_turns(s.turns - step));
    if (d < tolerance) off.push_back(d);
  }
  return off.empty() ? 0.0 : normal_sd * median(off);
}

}  // namespace

std::size_t FrameSteps::lost_frames() const {
  return std::accumulate(lost.begin(), lost.end(), std::size_t{0});
}

std::size_t FrameSteps::repeated_frames() const {
  return static_cast<std::size_t>(std::count(repeated.begin(), repeated.end(), true) +
                                  std::count(inserted.begin(), inserted.end(), true));
}

FrameSteps frame_steps(const FramePhases& phases) {
  FrameSteps found;
  found.lost.assign(phases.amplitude.size(), 0);
  found.repeated.assign(phases.amplitude.size(), false);
  found.inserted = found.repeated;
  const std::vector<Step> steps = steps_between(phases);
  const double noise = std::numbers::sqrt2 * phases.phase_sd();
  if (steps.size() < 12 || noise > clear_phase) return found;
  found.judged = true;
  const double tolerance = std::max(2.0 * uneven, 4.0 * noise);
  found.step = usual_step(steps, tolerance);
  const double seen = scatter_of(steps, found.step, tolerance);
  found.scatter = std::sqrt(std::max(seen * seen - noise * noise, 0.0));
  found.losses_would_show = std::abs(found.step) > 1.5 * tolerance;

  const auto count = static_cast<double>(steps.size());
  const auto usual = static_cast<double>(near(steps, found.step, tolerance));
  const auto is = [&](const Step& s, double multiple) {
    return std::abs(arithmetic::wrapped_turns(s.turns - multiple * found.step)) < tolerance;
  };
  std::size_t explained = 0;
  for (std::size_t i = 0; i < steps.size(); ++i) {
    const Step& s = steps[i];
    if (is(s, 1.0)) continue;
    std::size_t lost = 1;
    while (lost <= most_lost_at_once && !is(s, static_cast<double>(lost + 1))) ++lost;
    if (lost <= most_lost_at_once) {
      found.lost[s.to] = lost;
      ++explained;
    } else if (found.losses_would_show && is(s, 0.0)) {
      ++explained;
      if (i + 1 < steps.size() && is(steps[i + 1], 2.0)) {
        found.repeated[s.to] = true;
        ++explained;
        ++i;
      } else {
        found.inserted[s.to] = true;
      }
    }
  }
  found.even = found.scatter < uneven && usual >= most_of_them * count &&
               usual + static_cast<double>(explained) >= nearly_all * count;
  return found;
}

}  // namespace lampbeat::footage
