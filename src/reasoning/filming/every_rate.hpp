#pragma once

#include <cstddef>
#include <vector>

#include "reasoning/judge/ceilings.hpp"
#include "reasoning/judge/judge.hpp"

namespace lampbeat::reasoning::filming {

/// Whether exposures are clean at every one of these frame rates, slowest first, with room for
/// them. The judge's bounds answer where they can, the judge itself the rest.
class EveryRate {
 public:
  /// `judge` has to outlive it.
  EveryRate(const judge::Judge& judge, std::vector<FrameRate> rates);

  const std::vector<FrameRate>& rates() const { return rates_; }

  /// Whether a bound alone shows that every exposure from here on is.
  bool surely_clean_from(double exposure_s);

  /// Whether this exposure is, and where a clock wanders over lobes those close to it too.
  bool clean(double exposure_s);

  /// Whether it is at one of the rates.
  bool clean(double exposure_s, std::size_t rate);

  /// No exposure from `from_s` to `to_s` is more visible at one of the rates.
  double ceiling_at(double from_s, double to_s, std::size_t rate);

  /// About what every one of them shows at least there (`judge::Ceilings::shown_anyway`).
  double shown_anyway(double from_s, double to_s, std::size_t rate);

  /// How much visibility changes at most with the logarithm of the exposure there.
  double steepest(std::size_t rate);

  /// The judge's word on one exposure at one of the rates: of a clean one never less than it is.
  double judged(double exposure_s, std::size_t rate) const;

  /// The same as `ceiling_at` of the scenes in which, at the longer of the two, a clock wanders
  /// over lobes, so that only bounds speak for exposures close to one that was judged.
  double wandering_ceiling(double from_s, double to_s, std::size_t rate);

 private:
  bool has_room(double exposure_s, std::size_t rate) const;
  double ceiling(double from_s, double to_s);

  const judge::Judge& judge_;
  std::vector<FrameRate> rates_;
  std::vector<judge::Ceilings> ceilings_;  ///< of each scene
};

}  // namespace lampbeat::reasoning::filming
