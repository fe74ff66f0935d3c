#include "lampbeat/covering.hpp"

#include <fmt/format.h>

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <vector>

#include "arithmetic/median.hpp"
#include "arithmetic/phase.hpp"
#include "signal/sensor/smooth_course.hpp"
#include "words/numbers.hpp"

namespace lampbeat {

namespace {

using signal::sensor::CourseSmoother;
using signal::sensor::SmoothCourse;

/// Averages hold up to so many cycles, whichever number of them fits the samples best.
constexpr int most_cycles = 4;
/// Of the ripple in the light, what a covered sensor leaves at most; and what tells dark from light
/// in between, where a hand moves.
constexpr double covered_share = 0.15;
constexpr double lit_share = 0.7;
/// A shorter stretch does not show how the coupling pulls it down.
constexpr double shortest_stretch_s = 0.2;
/// Fitted on either side of a step: ten time constants of the slowest sound card's coupling.
constexpr double fitted_s = 0.5;
/// Kept clear of a step by what is measured afterwards: the same.
constexpr double clear_s = 0.5;
constexpr double shortest_lit_s = 0.3;
/// Of the ripple in the light: where it keeps to this, the hand does not move.
constexpr double at_rest_within = 0.03;
/// Of the step, what has to be seen of its fall; and of that, what a fit may leave.
constexpr double least_fall = 0.15;
constexpr double most_left = 0.05;
/// Nobody's shading, gain and drift keep a step to better than this.
constexpr double least_sd = 0.01;
constexpr double lone_step_sd = 0.03;
/// Steps that differ by more than this, or by more than their own play, are of different lights.
constexpr double agree_within = 0.06;
constexpr double agree_sds = 4.0;
/// Corners of couplings: none is lower than a clock's drift, none as high as the light.
constexpr double lowest_corner_hz = 0.05;
constexpr double highest_corner_hz = 60.0;
/// An hour's moments, and more than anybody covers a sensor for.
constexpr std::size_t most_moments = 2'000'000;

/// A stretch of moments, `to` excluded, in the light or covered.
struct Stretch {
  std::size_t from = 0;
  std::size_t to = 0;
  bool lit = false;
  std::size_t size() const { return to - from; }
};

/// The fewest samples that hold whole cycles well, or else those that do best. Even, so that half
/// of them is a whole number.
std::size_t samples_of_cycles(double light_hz, double rate_hz) {
  constexpr double well = 0.005;
  double best = 1.0;
  double samples = 0.0;
  for (int cycles = 1; cycles <= most_cycles && best > well; ++cycles) {
    const double exact = cycles * rate_hz / light_hz;
    const double even = 2.0 * std::round(exact / 2.0);
    const double off = std::abs(exact - even) / exact;
    if (off >= best) continue;
    best = off;
    samples = even;
  }
  return static_cast<std::size_t>(samples);
}

SmoothCourse course_of(CaptureSource& source, std::size_t samples, double rate_hz) {
  CourseSmoother smoother(samples, rate_hz);
  for (SampleBlock block = source.next(); !block.value.empty(); block = source.next()) {
    for (const double value : block.value) smoother.add(value);
  }
  return std::move(smoother).course();
}

/// Long enough stretches of either kind, in turn; what lies between is a hand on its way.
std::vector<Stretch> stretches_of(const SmoothCourse& course) {
  std::vector<double> sorted = course.ripple;
  const auto high = sorted.begin() + static_cast<std::ptrdiff_t>(sorted.size() * 3 / 4);
  std::nth_element(sorted.begin(), high, sorted.end());
  const double ripple = *high;
  const auto least = static_cast<std::size_t>(std::ceil(shortest_stretch_s / course.spacing_s));
  std::vector<Stretch> found;
  std::size_t i = 0;
  while (i < course.ripple.size()) {
    const bool lit = course.ripple[i] >= lit_share * ripple;
    const bool covered = course.unrest[i] <= covered_share * ripple;
    std::size_t end = i + 1;
    while (end < course.ripple.size() &&
           (lit ? course.ripple[end] >= lit_share * ripple
                : covered && course.unrest[end] <= covered_share * ripple)) {
      ++end;
    }
    if ((lit || covered) && end - i >= least) {
      if (!found.empty() && found.back().lit == lit) {
        found.back().to = end;
      } else {
        found.push_back({i, end, lit});
      }
    }
    i = end;
  }
  return found;
}

/// A step between two stretches.
struct Step {
  double height = 0.0;  ///< from darkness to the light
  double sd = 0.0;
  double corner_hz = 0.0;
};

/// By what a hand's moves show: in the light the ripple, else what no sag is.
const std::vector<double>& telling(const SmoothCourse& course, const Stretch& stretch) {
  return stretch.lit ? course.ripple : course.unrest;
}

double usual_in(const SmoothCourse& course, const Stretch& stretch) {
  const std::vector<double>& all = telling(course, stretch);
  std::vector<double> some(all.begin() + static_cast<std::ptrdiff_t>(stretch.from),
                           all.begin() + static_cast<std::ptrdiff_t>(stretch.to));
  return arithmetic::median(some);
}

/// The moments of a stretch, within reach of one of its ends, in which the hand does not move: the
/// ripple is as in most of them, and in those beside them.
std::vector<std::size_t> at_rest(const SmoothCourse& course, const Stretch& stretch, bool at_end,
                                 double lit_ripple) {
  const auto reach =
      std::min(stretch.size(), static_cast<std::size_t>(fitted_s / course.spacing_s));
  const std::size_t from = at_end ? stretch.to - reach : stretch.from;
  const double usual = usual_in(course, stretch);
  const std::vector<double>& ripple = telling(course, stretch);
  const auto rests = [&](std::size_t i) {
    return i < ripple.size() && std::abs(ripple[i] - usual) <= at_rest_within * lit_ripple;
  };
  std::vector<std::size_t> moments;
  for (std::size_t i = from; i < from + reach; ++i) {
    const bool all = rests(i) && rests(i + 1) && (i == 0 || rests(i - 1));
    if (all) moments.push_back(i);
  }
  return moments;
}

/// level + 2πf · integral = constant + slope · t + height · lit, for the height and f at once.
std::optional<Step> step_between(const SmoothCourse& course, const Stretch& before,
                                 const Stretch& after) {
  const double lit_ripple = usual_in(course, before.lit ? before : after);
  std::vector<std::size_t> moments = at_rest(course, before, true, lit_ripple);
  const std::size_t first_after = moments.size();
  const std::vector<std::size_t> later = at_rest(course, after, false, lit_ripple);
  moments.insert(moments.end(), later.begin(), later.end());
  constexpr std::size_t unknowns = 4;
  if (first_after < unknowns || later.size() < unknowns) return std::nullopt;
  const auto rows = static_cast<Eigen::Index>(moments.size());
  Eigen::MatrixXd terms(rows, static_cast<Eigen::Index>(unknowns));
  Eigen::VectorXd level(rows);
  const double origin = course.integral[moments.front()];
  for (Eigen::Index row = 0; row < rows; ++row) {
    const auto n = static_cast<std::size_t>(row);
    const std::size_t i = moments[n];
    const bool lit = (n < first_after) == before.lit;
    terms.row(row) << 1.0, course.time_s(i) - course.time_s(moments.front()), lit ? 1.0 : 0.0,
        origin - course.integral[i];
    level(row) = course.level[i];
  }
  const Eigen::ColPivHouseholderQR<Eigen::MatrixXd> solver(terms);
  if (solver.rank() < static_cast<Eigen::Index>(unknowns)) return std::nullopt;
  const Eigen::VectorXd fit = solver.solve(level);
  const double left = (level - terms * fit).norm() / std::sqrt(static_cast<double>(rows));
  Step step{fit(2), 0.0, fit(3) / arithmetic::turn};
  // A hand much slower than the coupling leaves nothing to see of the step's fall.
  const double fall = level.maxCoeff() - level.minCoeff();
  if (fall < least_fall * std::abs(step.height) || left > most_left * fall) return std::nullopt;
  if (step.corner_hz < lowest_corner_hz || step.corner_hz > highest_corner_hz) return std::nullopt;
  const Eigen::MatrixXd spread = (terms.transpose() * terms).inverse();
  // Neighbouring averages share half their samples.
  step.sd = left * std::sqrt(2.0 * spread(2, 2));
  return step;
}

/// Of the light, what reaches the covered sensor.
double leak(const SmoothCourse& course, const Stretch& one, const Stretch& other) {
  const double of_one = usual_in(course, one);
  const double of_other = usual_in(course, other);
  return std::min(of_one, of_other) / std::max(of_one, of_other);
}

void take_mean(Covering& covering, const std::vector<Step>& steps) {
  double sum = 0.0;
  double corner = 0.0;
  for (const Step& step : steps) {
    sum += step.height / static_cast<double>(steps.size());
    corner += step.corner_hz / static_cast<double>(steps.size());
  }
  const double mean = std::abs(sum);
  double squares = 0.0;
  double least = steps.front().height;
  double most = least;
  double own = 0.0;
  for (const Step& step : steps) {
    squares += (step.height - sum) * (step.height - sum);
    least = std::min(least, step.height);
    most = std::max(most, step.height);
    own = std::max(own, step.sd);
  }
  if (least * most <= 0.0 || most - least > std::max(2.0 * agree_within * mean, agree_sds * own)) {
    covering.why_not =
        fmt::format("they disagree, from {} to {}", words::in_digits_at_most(std::abs(least), 3),
                    words::in_digits_at_most(std::abs(most), 3));
    return;
  }
  covering.mean_level = mean;
  covering.upside_down = sum < 0.0;
  covering.coupling_corner_hz = corner;
  const auto n = static_cast<double>(steps.size());
  const double scatter = steps.size() > 1 ? std::sqrt(squares / (n * (n - 1.0))) : 0.0;
  const double at_least = steps.size() > 1 ? least_sd : lone_step_sd;
  covering.mean_level_sd = std::hypot(std::hypot(scatter, own / std::sqrt(n)), at_least * mean);
}

}  // namespace

std::optional<Covering> covering(CaptureSource& source, double light_hz, double rate_hz) {
  constexpr double fewest_samples_a_cycle = 4.0;
  if (!(light_hz > 0.0) || !(rate_hz >= fewest_samples_a_cycle * light_hz)) return std::nullopt;
  const SmoothCourse course = course_of(source, samples_of_cycles(light_hz, rate_hz), rate_hz);
  if (course.level.empty() || course.level.size() > most_moments) return std::nullopt;
  const std::vector<Stretch> stretches = stretches_of(course);
  std::vector<Step> steps;
  Covering covering;
  for (std::size_t i = 1; i < stretches.size(); ++i) {
    ++covering.steps;
    if (auto step = step_between(course, stretches[i - 1], stretches[i])) {
      step->height /= 1.0 - leak(course, stretches[i - 1], stretches[i]);
      steps.push_back(*step);
    }
  }
  if (covering.steps == 0) return std::nullopt;
  for (const Stretch& stretch : stretches) {
    if (!stretch.lit) continue;
    const double from_s = course.time_s(stretch.from) + (stretch.from == 0 ? 0.0 : clear_s);
    const double to_s =
        course.time_s(stretch.to - 1) - (stretch.to == course.level.size() ? 0.0 : clear_s / 2.0);
    if (to_s - from_s <= covering.to_s - covering.from_s) continue;
    covering.from_s = stretch.from == 0 ? 0.0 : from_s;
    covering.to_s = to_s;
  }
  if (steps.empty()) {
    covering.why_not = "none was quick enough to show before the coupling pulled it down";
  } else if (covering.to_s - covering.from_s < shortest_lit_s) {
    covering.why_not = "no stretch in the light between them is long enough";
  } else {
    take_mean(covering, steps);
  }
  return covering;
}

}  // namespace lampbeat
