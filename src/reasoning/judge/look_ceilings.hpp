#pragma once

#include <vector>

#include "lampbeat/prediction.hpp"
#include "reasoning/judge/looks.hpp"
#include "reasoning/judge/scene.hpp"
#include "reasoning/judge/weights.hpp"

namespace lampbeat::reasoning::judge {

/// What one shot can show at most of a scene, look by look: all that is left of the rhythms at its
/// brightest in one row and at its darkest in another. From look to look one clock moves and the
/// others stand, and what is left of their rhythms is worked out once.
class LookCeilings {
 public:
  /// `scene` and `weights` have to outlive it.
  LookCeilings(const Scene& scene, const Shot& shot, const Weights& weights);

  Recorded at(const Offsets& offsets);

 private:
  struct Line {
    double hz;
    double left;  ///< of it; of pulsing, within a clip
  };
  /// What is left of a rhythm that runs at this frequency.
  struct Remains {
    double hz = 0.0;
    Swing swing;
    double pulse = 0.0;
    std::vector<Line> rows, frames;
    int highest_order = 0;  ///< of `rows`
    /// So many rhythms may have lines on its own, which then add up; itself included.
    double company = 1.0;
  };

  Remains& remains_of(std::size_t rhythm, double hz);
  void find_company();
  template <typename Seen>
  double most_visible(std::vector<Line> Remains::*lines, bool add_up, double contrast,
                      double most_weight, Seen seen) const;

  const Scene& scene_;
  Shot shot_;
  const Weights& weights_;
  std::vector<Remains> remains_;  ///< of each rhythm in the last look
};

}  // namespace lampbeat::reasoning::judge
