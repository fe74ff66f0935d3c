#include "reasoning/filming/every_rate.hpp"

#include <algorithm>
#include <utility>

#include "lampbeat/visibility.hpp"
#include "reasoning/camera/fits.hpp"

namespace lampbeat::reasoning::filming {
namespace {

/// Longer than any exposure that differs from an endless one.
constexpr double endless_s = 1e6;

/// Where a free-running clock takes a rhythm over half a lobe of the exposure's gain or more, the
/// bound is all but reached, at a slightly longer exposure if not at this one. Whoever walks along
/// the exposures in steps would pass that one by, so there the bound decides, and errs on the
/// cautious side by a few per cent.
bool wanders_over_lobes(const judge::Scene& scene, double exposure_s) {
  constexpr double enough_lobes = 0.5;  // from a null to the next top
  return std::any_of(scene.rhythms.begin(), scene.rhythms.end(), [&](const judge::MovingSeries& r) {
    const double reach = scene.clocks[r.clock].high - scene.clocks[r.clock].low;
    return r.clock != 0 && reach * r.own_hz * exposure_s >= enough_lobes;
  });
}

}  // namespace

EveryRate::EveryRate(const judge::Judge& judge, std::vector<FrameRate> rates)
    : judge_(judge), rates_(std::move(rates)) {
  for (const judge::Scene& scene : judge.scenes()) ceilings_.emplace_back(scene, judge_, rates_);
}

bool EveryRate::surely_clean_from(double exposure_s) {
  return ceiling(exposure_s, endless_s) < clean_below;
}

bool EveryRate::clean(double exposure_s) {
  std::vector<std::pair<double, std::size_t>> doubtful;
  for (std::size_t rate = 0; rate < rates_.size(); ++rate) {
    if (!has_room(exposure_s, rate)) break;
    const double bound = ceiling_at(exposure_s, exposure_s, rate);
    if (bound < clean_below) continue;
    if (wandering_ceiling(exposure_s, exposure_s, rate) >= clean_below) return false;
    doubtful.push_back({bound, rate});
  }
  std::sort(doubtful.rbegin(), doubtful.rend());
  return std::all_of(doubtful.begin(), doubtful.end(), [&](const auto& doubt) {
    return judge_.clean(exposure_s, rates_[doubt.second]);
  });
}

bool EveryRate::clean(double exposure_s, std::size_t rate) {
  return ceiling_at(exposure_s, exposure_s, rate) < clean_below ||
         judge_.clean(exposure_s, rates_[rate]);
}

/// The slowest rate stands for exposures longer than any frame.
bool EveryRate::has_room(double exposure_s, std::size_t rate) const {
  return rate == 0 || camera::fits(exposure_s, rates_[rate]);
}

double EveryRate::ceiling(double from_s, double to_s) {
  double highest = 0.0;
  for (std::size_t rate = 0; rate < rates_.size(); ++rate) {
    if (!has_room(from_s, rate)) break;
    highest = std::max(highest, ceiling_at(from_s, to_s, rate));
    if (highest >= clean_below) break;
  }
  return highest;
}

double EveryRate::ceiling_at(double from_s, double to_s, std::size_t rate) {
  double highest = 0.0;
  for (judge::Ceilings& scene : ceilings_) {
    highest = std::max(highest, scene.visibility(from_s, to_s, rate));
  }
  return highest;
}

double EveryRate::shown_anyway(double from_s, double to_s, std::size_t rate) {
  double most = 0.0;
  for (judge::Ceilings& scene : ceilings_) {
    most = std::max(most, scene.shown_anyway(from_s, to_s, rate));
  }
  return most;
}

double EveryRate::steepest(std::size_t rate) {
  double most = 0.0;
  for (judge::Ceilings& scene : ceilings_) most = std::max(most, scene.steepest(rate));
  return most;
}

double EveryRate::judged(double exposure_s, std::size_t rate) const {
  return judge_.worst_visibility(exposure_s, rates_[rate]);
}

double EveryRate::wandering_ceiling(double from_s, double to_s, std::size_t rate) {
  double highest = 0.0;
  for (std::size_t i = 0; i < ceilings_.size(); ++i) {
    if (!wanders_over_lobes(judge_.scenes()[i], to_s)) continue;
    highest = std::max(highest, ceilings_[i].visibility(from_s, to_s, rate));
  }
  return highest;
}

}  // namespace lampbeat::reasoning::filming
