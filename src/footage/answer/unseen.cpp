#include "footage/answer/unseen.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <numbers>

#include "arithmetic/alias.hpp"
#include "arithmetic/phase.hpp"
#include "footage/waves/standing.hpp"

namespace lampbeat::footage::answer {

namespace {

// Share of a frequency by which mains may be off its nominal one, and all its multiples with it: EN
// 50160 gives 50 Hz 1 %; 60 Hz keeps closer. A clip proves no light absent that could have stood
// still.
constexpr double mains_wander = 0.01;
// Drift slower than this share of the roll is the exposure automatic's: half way from standing
// still to the roll itself, so that neither passes for the other.
constexpr double slower = 0.5;
// Half-cycles over the clip of the quickest drift that is followed.
constexpr std::size_t most_modes = 40;

}  // namespace

std::optional<ExpectedRoll> expected_roll(double light_hz, const stretches::Watched& watched) {
  if (!watched.fps) return std::nullopt;
  const double hz = arithmetic::alias_hz(light_hz, *watched.fps);
  const double least = std::abs(hz) - mains_wander * light_hz;
  return ExpectedRoll{hz, std::max(least, 0.0) * watched.duration_s()};
}

double possible_pulsing(const stretches::Watched& watched, double roll_hz) {
  const std::vector<double>& means = watched.frame_means;
  const auto frames = static_cast<Eigen::Index>(means.size());
  const double per_frame = std::abs(roll_hz) / *watched.fps;
  const auto modes = static_cast<Eigen::Index>(std::min<std::size_t>(
      most_modes, 1 + static_cast<std::size_t>(2.0 * slower * per_frame * double(frames))));
  if (frames < modes + 8) return 1.0;
  Eigen::MatrixXd columns(frames, modes + 2);
  Eigen::VectorXd seen(frames);
  for (Eigen::Index n = 0; n < frames; ++n) {
    seen[n] = means[static_cast<std::size_t>(n)];
    for (Eigen::Index m = 0; m < modes; ++m) {
      columns(n, m) = std::cos(std::numbers::pi * static_cast<double>(m) * (double(n) + 0.5) /
                               static_cast<double>(frames));
    }
    const double angle = arithmetic::turn * per_frame * static_cast<double>(n);
    columns(n, modes) = std::cos(angle);
    columns(n, modes + 1) = std::sin(angle);
  }
  const Eigen::VectorXd best = columns.colPivHouseholderQr().solve(seen);
  const double left = (seen - columns * best).norm();
  const double sd = left / std::sqrt(double(frames - modes - 2)) * std::sqrt(2.0 / double(frames));
  return std::min(
      1.0, (std::hypot(best[modes], best[modes + 1]) + 3.0 * sd) / std::max(seen.mean(), 1e-6));
}

}  // namespace lampbeat::footage::answer
