#pragma once

#include <array>
#include <optional>
#include <vector>

#include "reasoning/bands/effort.hpp"
#include "reasoning/bands/recorded.hpp"
#include "reasoning/judge/look_ceilings.hpp"
#include "reasoning/judge/looks.hpp"
#include "reasoning/judge/weights.hpp"

namespace lampbeat::reasoning::judge {

/// A figure of the bands or of the pulsing.
using Figure = double Recorded::*;

/// The least favourable moment of one scene for one shot: every look over the clocks' tolerances
/// gets a ceiling first (all that is left peaking together), and contrasts are searched for only
/// where the ceiling promises more than has been found.
class Search {
 public:
  Search(const Scene& scene, const Shot& shot, const Weights& weights);
  /// The same, from `looks_over` its tolerances.
  Search(const Scene& scene, Looks looks, const Shot& shot, const Weights& weights);
  /// Over these looks only.
  Search(const Scene& scene, const std::vector<Offsets>& looks, const Shot& shot,
         const Weights& weights);

  /// No look is above this.
  double ceiling(Figure figure) const;

  /// Greatest visibility; less than that when it is plain that it is below or above `enough`.
  double visibility(double enough);

  /// The visibility of a look that a quick glance shows to be well above `enough`; 0 where none is.
  double plainly_above(double enough);

  /// What is recorded in the look in which a figure, of the bands or of the pulsing, is highest;
  /// the other of the two counts as none.
  Recorded peak(Figure figure, bands::Effort effort = bands::Effort::full);

 private:
  struct Place {
    Offsets offsets;
    Recorded ceiling;
    bool exposed = false;  ///< whether `rows` and `frames` are there
    std::vector<mixture::Series> rows, frames;
    std::array<std::optional<double>, 2> among_rows, among_frames;  ///< by effort
  };

  void add(const std::vector<Offsets>& looks);
  void expose(Place& place) const;
  std::vector<std::size_t> by_ceiling(Figure figure) const;
  double rows_contrast(Place& place, bands::Effort effort) const;
  double frames_contrast(Place& place, bands::Effort effort) const;
  Recorded recorded_at(Place& place, Figure figure, bands::Effort effort) const;
  double bands_at_least(Place& place) const;
  double value_at(Place& place, Figure figure, bands::Effort effort) const;
  Recorded figures(const Place& place, bands::Contrasts contrasts) const;

  const Scene& scene_;
  Shot shot_;
  const Weights& weights_;
  LookCeilings ceilings_;
  std::vector<Place> places_;
};

}  // namespace lampbeat::reasoning::judge
