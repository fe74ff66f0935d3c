#include "reasoning/shutters/shutters_exact.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <limits>
#include <span>
#include <tuple>

#include "lampbeat/visibility.hpp"
#include "reasoning/camera/frame_mean.hpp"
#include "reasoning/shutters/shutters_order.hpp"

namespace lampbeat::reasoning::shutters {

namespace {

/// A clean point has to be less visible by this to be worth another setting.
constexpr double part_that_matters = 0.05;
constexpr double visibility_that_matters = 0.02;
/// Lines below this part of a scene's strongest do not lead while it is there to see.
constexpr double leads = 0.1;
constexpr double nothing_lower = -std::numeric_limits<double>::infinity();

/// How visible a line can be anywhere its clock takes it, for each unit of contrast.
double weight_of(const judge::Judge& judge, const judge::MovingSeries& rhythm, int order,
                 const judge::Clock& clock, const Shot& shot) {
  constexpr int samples = 12;
  const double low_hz = order * (rhythm.own_hz * (1.0 + clock.low) + rhythm.side_hz);
  const double high_hz = order * (rhythm.own_hz * (1.0 + clock.high) + rhythm.side_hz);
  double weight = 0.0;
  if (shot.readout_s > 0.0) {
    weight = judge.weights().highest_of_bands(low_hz, high_hz, shot);
  }
  for (int i = 0; i <= samples; ++i) {
    const double hz = low_hz + (high_hz - low_hz) * i / samples;
    const double left = camera::left_in_frame_mean(hz, shot.readout_s, shot.rows);
    weight = std::max(weight, left * judge.weights().pulsing(1.0, hz, shot));
  }
  return weight;
}

/// How fast visibility can fall with ln T, in the steepest of the scenes.
double steepness(const judge::Judge& judge, FrameRate fps) {
  constexpr double instant_cycles = 1.0 / 128.0;
  const Shot shot = judge.shot(0.5 * fps.frame_s(), fps);
  double steepest = 0.0;
  for (const judge::Scene& scene : judge.scenes()) {
    double strongest = 0.0;
    double swings = 0.0;
    for (const judge::MovingSeries& r : scene.rhythms) {
      for (const double strength : r.strengths) strongest = std::max(strongest, strength);
      const judge::Swing swing = r.swing.at(instant_cycles);
      swings += swing.up + swing.down;
    }
    double weight = 0.0;
    for (const judge::MovingSeries& r : scene.rhythms) {
      for (std::size_t i = 0; i < r.harmonics.size(); ++i) {
        if (r.strengths[i] < leads * strongest) continue;
        weight = std::max(weight,
                          weight_of(judge, r, r.harmonics[i].order, scene.clocks[r.clock], shot));
      }
    }
    steepest = std::max(steepest, weight * swings);
  }
  return steepest;
}

/// The search of one dial at one frame rate.
class PointSearch {
 public:
  PointSearch(const judge::Judge& judge, FrameRate fps, std::span<const LightShare> lights,
              const Setting& best)
      : judge_(judge), fps_(fps), lights_(lights), steepness_(steepness(judge, fps)) {
    best_s_ = best.exposure_s;
    verdict_ = best.worst.verdict;
    visibility_ = best.worst.visibility;
    rank_ = ranked_quarter_stops(best);
  }

  void look_through(const Stretch& stretch) {
    const double shortest_s = exposure_at(stretch.range, stretch.from, fps_);
    const double longest_s = exposure_at(stretch.range, stretch.to, fps_);
    const double half_frame_s = 0.5 * fps_.frame_s();
    const int farthest = std::max(quarter_stops(std::log2(shortest_s / half_frame_s)),
                                  quarter_stops(std::log2(longest_s / half_frame_s)));
    for (int quarter = 0; quarter <= farthest; ++quarter) {
      if (!(wanted_below(quarter) > 0.0)) continue;
      const double near = std::exp2((quarter - 0.5) / 4.0);
      const double far = std::exp2((quarter + 0.5) / 4.0);
      if (quarter == 0) {
        look_between(stretch, half_frame_s / far, half_frame_s * far, quarter);
      } else {
        look_between(stretch, half_frame_s / far, half_frame_s / near, quarter);
        look_between(stretch, half_frame_s * near, half_frame_s * far, quarter);
      }
    }
  }

  /// Walks to the lowest of the best one's valley, where it is a point of this stretch.
  void settle(const Stretch& stretch) {
    std::int64_t here = last_within(stretch.range, best_s_, fps_);
    if (here < stretch.from || here > stretch.to) return;
    if (std::abs(exposure_at(stretch.range, here, fps_) - best_s_) > 1e-9 * best_s_) return;
    constexpr std::int64_t widest_step = 64;  // of points; valleys are found to a few of them
    for (std::int64_t step = widest_step; step > 0; step /= 2) {
      for (const std::int64_t next : {here - step, here + step}) {
        if (next < stretch.from || next > stretch.to) continue;
        const double exposure_s = exposure_at(stretch.range, next, fps_);
        if (consider(worst_at(exposure_s), stretch, next, exposure_s)) {
          here = next;
          step *= 2;
          break;
        }
      }
    }
  }

  const std::optional<Offer>& found() const { return found_; }

 private:
  struct Point {
    std::int64_t number;
    double exposure_s;
    double visibility;
  };

  /// What a point has to stay below to be better than the best one, by where it lies.
  double wanted_below(int quarter) const {
    constexpr double marginal_from = marginal_part * clean_below;
    const double less_visible =
        told_apart(visibility_) > 0.0
            ? (1.0 - part_that_matters) * visibility_ - visibility_that_matters
            : nothing_lower;
    if (verdict_ > Verdict::borderline) return std::max(clean_below, less_visible);
    if (verdict_ == Verdict::borderline) {
      if (quarter > rank_) return clean_below;
      return quarter < rank_ ? visible_from : std::max(clean_below, less_visible);
    }
    // Points of whole cycles are known; others may be marginal.
    const int rank_if_marginal = quarter + marginal_costs;
    if (rank_if_marginal < rank_) return clean_below;
    if (rank_if_marginal == rank_) return std::max(less_visible, marginal_from);
    if (quarter < rank_) return marginal_from;
    if (quarter == rank_) return std::min(less_visible, marginal_from);
    return nothing_lower;
  }

  Recorded worst_at(double exposure_s) const {
    return judge_.worst(exposure_s, fps_, judge_.nominal(exposure_s, fps_).figures).figures;
  }

  /// Takes a point for the best one if it stands before it.
  bool consider(const Recorded& worst, const Stretch& stretch, std::int64_t number,
                double exposure_s) {
    const bool marginal = is_clean(worst) && worst.visibility > marginal_part * clean_below &&
                          !holds_whole_cycles(lights_, exposure_s);
    const double stops = std::log2(shutter_angle_deg(exposure_s, fps_) / 180.0);
    const int rank = quarter_stops(stops) + (marginal ? marginal_costs : 0);
    const auto standing = [](Verdict verdict, int quarters, double visibility) {
      return std::tuple(verdict, verdict <= Verdict::borderline ? quarters : 0, visibility);
    };
    if (standing(worst.verdict, rank, told_apart(worst.visibility)) >=
        standing(verdict_, rank_, told_apart(visibility_))) {
      return false;
    }
    verdict_ = worst.verdict;
    visibility_ = worst.visibility;
    rank_ = rank;
    found_ = offer_at(stretch, number, fps_);
    best_s_ = exposure_s;
    return true;
  }

  void look_between(const Stretch& stretch, double from_s, double to_s, int quarter) {
    const std::int64_t first = std::max(stretch.from, last_within(stretch.range, from_s, fps_) + 1);
    const std::int64_t last = std::min(stretch.to, last_within(stretch.range, to_s, fps_));
    if (first > last) return;
    const Point low = judged(stretch, first, quarter);
    if (last == first) return;
    look_between(stretch, low, judged(stretch, last, quarter), quarter);
  }

  void look_between(const Stretch& stretch, const Point& low, const Point& high, int quarter) {
    if (high.number - low.number < 2) return;
    constexpr double too_little = 0.005;  // of visibility: nobody sees it
    const double fall = steepness_ * std::log(high.exposure_s / low.exposure_s);
    if (fall < too_little) return;
    if (0.5 * (low.visibility + high.visibility - fall) >= wanted_below(quarter)) return;
    const Point middle = judged(stretch, low.number + (high.number - low.number) / 2, quarter);
    look_between(stretch, low, middle, quarter);
    look_between(stretch, middle, high, quarter);
  }

  Point judged(const Stretch& stretch, std::int64_t number, int quarter) {
    Point point{number, exposure_at(stretch.range, number, fps_), 0.0};
    point.visibility = judge_.worst_visibility(point.exposure_s, fps_);
    const double wanted = wanted_below(quarter);
    if (point.visibility >= std::max(wanted, clean_below)) return point;
    const Recorded worst = worst_at(point.exposure_s);
    point.visibility = worst.visibility;
    if (worst.visibility < wanted) consider(worst, stretch, number, point.exposure_s);
    return point;
  }

  const judge::Judge& judge_;
  FrameRate fps_;
  std::span<const LightShare> lights_;
  double steepness_;
  double best_s_ = 0.0;
  Verdict verdict_ = Verdict::clean;
  double visibility_ = 0.0;
  int rank_ = 0;
  std::optional<Offer> found_;
};

}  // namespace

std::optional<Offer> better_point(const Dial& dial, const judge::Judge& judge,
                                  std::span<const LightShare> lights, const Setting& best) {
  PointSearch search(judge, dial.fps, lights, best);
  for (const Stretch& stretch : dial.fine) search.look_through(stretch);
  for (const Stretch& stretch : dial.fine) search.settle(stretch);
  return search.found();
}

}  // namespace lampbeat::reasoning::shutters
