#pragma once

#include <vector>

#include "lampbeat/shutters.hpp"
#include "reasoning/judge/ceilings.hpp"
#include "reasoning/judge/judge.hpp"

namespace lampbeat::reasoning::shutters {

/// Exposures from one to another, both included.
struct Span {
  double from_s = 0.0;
  double to_s = 0.0;
};

/// The exposures around one that stay clean at one frame rate, one search for all that lie in the
/// same span. Walked outwards: as far as bounds of whole ranges reach at a time, and where they do
/// not, by less than a lobe of the exposure's gain can hide in.
class CleanSpans {
 public:
  /// `judge` has to outlive it.
  CleanSpans(const judge::Judge& judge, FrameRate fps);

  /// `exposure_s` is clean.
  Span around(double exposure_s);

 private:
  bool surely_clean(double from_s, double to_s);
  bool clean(double exposure_s) const;
  double step_at(double exposure_s) const;
  double walked(double from_s, double limit_s);
  double closed_in(double start_s, double good_s, double bad_s) const;
  double clear_of_ripples(double start_s, double end_s) const;

  const judge::Judge& judge_;
  FrameRate fps_;
  double step_s_;                          ///< a part of the fastest strong line's cycle
  std::vector<judge::Ceilings> ceilings_;  ///< of each scene
  std::vector<Span> known_;
};

/// Fills in the spans of those settings, all of one frame rate, that are clean.
void add_clean_spans(const std::vector<Setting*>& settings, const judge::Judge& judge);

}  // namespace lampbeat::reasoning::shutters
