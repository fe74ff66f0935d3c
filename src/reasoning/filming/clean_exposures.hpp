#pragma once

#include <cstddef>

#include "reasoning/filming/every_rate.hpp"

namespace lampbeat::reasoning::filming {

/// Which exposures are proved clean at one of the rates of `check`, over a whole range of them. A
/// bound decides where it can; near its edges an exposure is judged, and those beside it are clean
/// as far as the steepest change of visibility lets them be. What stays undecided is not clean.
class CleanExposures {
 public:
  /// `check` has to outlive it.
  CleanExposures(EveryRate& check, std::size_t rate);

  /// The width of the clean ones from `from_s` to `to_s` in stops; at least `enough` where that is
  /// reached before all is looked at.
  double stops(double from_s, double to_s, double enough);

  /// Whether all of them are.
  bool all(double from_s, double to_s);

 private:
  /// What is known of a range of exposures.
  enum class Word { clean, not_clean, undecided };
  /// As logarithms of seconds.
  struct Range {
    double from, to;
    double width() const { return to - from; }
  };
  Word word_of_bounds(Range range);
  /// An exposure within the range, judged, and the exposures around it that share its fate.
  struct Judged {
    bool clean = false;
    Range range;
  };
  Judged judged_in(Range range);
  template <typename Clean, typename NotClean>
  void walk(Range range, Clean clean, NotClean not_clean);

  EveryRate& check_;
  std::size_t rate_;
  double steepest_;
  double narrowest_;  ///< ranges that stay undecided at this width are given up
  int judgings_left_;
};

}  // namespace lampbeat::reasoning::filming
