#pragma once

#include <optional>
#include <vector>

#include "footage/stretches/stretch.hpp"

namespace lampbeat::footage::stretches {

/// Joins the estimates of a clip's stretches into one, in memory independent of their number.
class Combined {
 public:
  void add(const StretchEstimate& stretch);

  /// The waves seen in a good part of the clip, strongest first.
  std::vector<waves::Wave> waves() const;
  /// The worst of the stretches.
  double smallest_seen() const { return smallest_seen_; }
  double unrest() const { return unrest_; }
  /// Amplitude of the strongest pattern that was none of a lamp, 0 when there was none.
  double scenery() const { return scenery_; }
  /// What the waves tell of the curve the clip was recorded with; empty where none runs.
  const std::optional<CurveEvidence>& curves() const { return curves_; }

 private:
  struct Tracked {
    waves::Wave wave;  // running means
    double frames = 0.0;
    double roll_weight = 0.0;
    double bands_weight = 0.0;
    double stretches = 0.0;
    double roll_spread = 0.0;  // sums of squares around the means, by stretch
    double bands_spread = 0.0;
    std::vector<double> amplitude;  // mean |amplitude| of each harmonic
    std::vector<double> amplitude_spread;
  };
  void merge(Tracked& into, const waves::Wave& wave, double frames);

  std::vector<Tracked> tracked_;
  double frames_ = 0.0;
  double smallest_seen_ = 0.0;
  double unrest_ = 0.0;
  double scenery_ = 0.0;
  std::optional<CurveEvidence> curves_;
};

}  // namespace lampbeat::footage::stretches
