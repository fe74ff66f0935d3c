#include "footage/clips/stated_rate.hpp"

#include <cmath>
#include <cstddef>

#include "arithmetic/median.hpp"
#include "lampbeat/camera.hpp"

namespace lampbeat::footage::clips {

namespace {

// Fewer times are no evidence against what the container states.
constexpr std::size_t fewest_times = 3;
// Of the rate: a fifth of what tells 24 from 23.976.
constexpr double same_rate = 2e-4;
// Beyond these no camera records.
constexpr double fastest_fps = 100000.0;
constexpr double slowest_fps = 0.01;
// A rate without a name is given in so many parts of a frame a second.
constexpr std::int64_t unnamed = 1000;

bool usable(const FrameRate& fps) {
  return fps.numerator > 0 && fps.denominator > 0 && fps.per_s() >= slowest_fps &&
         fps.per_s() <= fastest_fps;
}

/// Least-squares distance of the times, each at a whole number of usual ones from that before.
std::optional<double> fitted_period_s(const std::vector<double>& times_s) {
  std::vector<double> steps_s;
  for (std::size_t i = 1; i < times_s.size(); ++i) {
    const double step_s = times_s[i] - times_s[i - 1];
    if (step_s > 0.0) steps_s.push_back(step_s);
  }
  if (steps_s.size() + 1 < fewest_times) return std::nullopt;
  const double usual_s = arithmetic::median(steps_s);
  double place = 0.0;
  double sum_n = 0.0;
  double sum_t = 0.0;
  double sum_nn = 0.0;
  double sum_nt = 0.0;
  for (std::size_t i = 0; i < times_s.size(); ++i) {
    if (i > 0) place += std::round((times_s[i] - times_s[i - 1]) / usual_s);
    const double t = times_s[i] - times_s.front();
    sum_n += place;
    sum_t += t;
    sum_nn += place * place;
    sum_nt += place * t;
  }
  const auto count = static_cast<double>(times_s.size());
  const double spread = sum_nn - sum_n * sum_n / count;
  if (!(spread > 0.0)) return std::nullopt;
  return (sum_nt - sum_n * sum_t / count) / spread;
}

bool same(const FrameRate& fps, double per_s) {
  return std::abs(fps.per_s() / per_s - 1.0) < same_rate;
}

FrameRate named(double per_s, const std::vector<FrameRate>& stated) {
  for (const FrameRate& fps : stated) {
    if (same(fps, per_s)) return fps;
  }
  for (const FrameRate& fps : customary_frame_rates()) {
    if (same(fps, per_s)) return fps;
  }
  return {std::llround(per_s * static_cast<double>(unnamed)), unnamed};
}

}  // namespace

std::optional<StatedRate> stated_rate(
    const std::vector<double>& times_s,
    const std::vector<std::pair<std::int64_t, std::int64_t>>& rates) {
  std::vector<FrameRate> stated;
  for (const auto& [over, under] : rates) {
    if (usable({over, under})) stated.push_back({over, under});
  }
  const auto period_s = fitted_period_s(times_s);
  if (!period_s) {
    if (stated.empty()) return std::nullopt;
    return StatedRate{stated.front(), stated.front().frame_s()};
  }
  const double per_s = 1.0 / *period_s;
  if (!(per_s >= slowest_fps && per_s <= fastest_fps)) return std::nullopt;
  return StatedRate{named(per_s, stated), *period_s};
}

}  // namespace lampbeat::footage::clips
