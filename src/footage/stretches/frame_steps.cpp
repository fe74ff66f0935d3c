#include "footage/stretches/frame_steps.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>

#include "arithmetic/median.hpp"
#include "arithmetic/phase.hpp"
#include "footage/stretches/frame_limits.hpp"

namespace lampbeat::footage::stretches {

namespace {

// Of a turn: the usual step is looked for in so fine ones, which its neighbours then sharpen.
constexpr double searched = 0.005;
constexpr int half_a_turn = 100;  // of those

struct Step {
  std::size_t to = 0;
  double turns = 0.0;
};

std::vector<Step> steps_between(const FramePhases& phases) {
  std::vector<Step> steps;
  for (std::size_t n = 1; n < phases.amplitude.size(); ++n) {
    const auto& a = phases.amplitude[n - 1];
    const auto& b = phases.amplitude[n];
    if (a && b) steps.push_back({n, std::arg(*b * std::conj(*a)) / arithmetic::turn});
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
  for (int i = -half_a_turn; i < half_a_turn; ++i) {
    const std::size_t count = near(steps, searched * i, tolerance);
    if (count > most) {
      most = count;
      best = searched * i;
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
  return off.empty() ? 0.0 : arithmetic::normal_sd * arithmetic::median(off);
}

/// How far a step may be off and still be so many of the usual ones.
struct Ruler {
  double step = 0.0;
  double tolerance = 0.0;

  bool is(const Step& s, double multiple) const {
    return std::abs(arithmetic::wrapped_turns(s.turns - multiple * step)) < tolerance;
  }
  /// Frames lost before this one; empty when that explains its step no better.
  std::optional<std::size_t> lost_before(const Step& s) const {
    for (std::size_t lost = 1; lost <= most_lost_at_once; ++lost) {
      if (is(s, static_cast<double>(lost + 1))) return lost;
    }
    return std::nullopt;
  }
};

struct Explained {
  FrameFates fates;
  double steps = 0.0;  // unusual ones that the fates explain
};

Explained fates_of(const std::vector<Step>& steps, const Ruler& ruler, bool losses_would_show,
                   std::size_t frames) {
  Explained explained;
  FrameFates& fates = explained.fates;
  fates.lost.assign(frames, 0);
  fates.repeated.assign(frames, false);
  fates.inserted.assign(frames, false);
  for (std::size_t i = 0; i < steps.size(); ++i) {
    const Step& s = steps[i];
    if (ruler.is(s, 1.0)) continue;
    if (const auto lost = ruler.lost_before(s)) {
      fates.lost[s.to] = *lost;
      explained.steps += 1.0;
    } else if (losses_would_show && ruler.is(s, 0.0)) {
      explained.steps += 1.0;
      if (i + 1 < steps.size() && ruler.is(steps[i + 1], 2.0)) {
        fates.repeated[s.to] = true;
        explained.steps += 1.0;
        ++i;
      } else {
        fates.inserted[s.to] = true;
      }
    }
  }
  return explained;
}

}  // namespace

std::size_t FrameSteps::lost_frames() const {
  return std::accumulate(fates.lost.begin(), fates.lost.end(), std::size_t{0});
}

std::size_t FrameSteps::repeated_frames() const {
  return static_cast<std::size_t>(std::count(fates.repeated.begin(), fates.repeated.end(), true) +
                                  std::count(fates.inserted.begin(), fates.inserted.end(), true));
}

std::optional<FrameSteps> frame_steps(const FramePhases& phases) {
  const std::vector<Step> steps = steps_between(phases);
  const double noise = std::numbers::sqrt2 * phases.phase_sd();
  if (steps.size() < fewest_steps || noise > clear_phase) return std::nullopt;
  FrameSteps found;
  const double tolerance = std::max(2.0 * uneven, alike_sds * noise);
  found.step = usual_step(steps, tolerance);
  const double seen = scatter_of(steps, found.step, tolerance);
  found.scatter = std::sqrt(std::max(seen * seen - noise * noise, 0.0));
  found.losses_would_show = std::abs(found.step) > clear_of * tolerance;

  Explained explained =
      fates_of(steps, {found.step, tolerance}, found.losses_would_show, phases.amplitude.size());
  found.fates = std::move(explained.fates);
  const auto count = static_cast<double>(steps.size());
  const auto usual = static_cast<double>(near(steps, found.step, tolerance));
  found.usual = usual / count;
  found.told = (usual + explained.steps) / count;
  found.even = found.scatter < uneven && usual >= most_of_them * count &&
               usual + explained.steps >= nearly_all * count;
  return found;
}

}  // namespace lampbeat::footage::stretches
