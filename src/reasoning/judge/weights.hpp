#pragma once

#include <memory>

#include "lampbeat/prediction.hpp"
#include "reasoning/bands/eye.hpp"

namespace lampbeat::reasoning::judge {

/// How visible a line is for each unit of its contrast, by frequency and frame rate, to one viewer:
/// the judge's second factor. May be shared by threads; those of
/// one viewer share what has been worked out.
class Weights {
 public:
  explicit Weights(const Viewing& viewing);

  const bands::Eye& eye() const { return known_->eye; }

  /// Visibility of the bands, and of the pulsing, that one line of this contrast makes by itself.
  double bands(double contrast, double hz, const Shot& shot) const;
  double pulsing(double contrast, double hz, const Shot& shot) const;

  /// The visibility of the bands of a line anywhere between two frequencies, for each unit of
  /// contrast, at its highest: looked for evenly over the range, and beside every multiple of the
  /// frame rate, where the pattern stands still on the screen and is most visible within a fraction
  /// of a hertz.
  double highest_of_bands(double low_hz, double high_hz, const Shot& shot) const;
  /// The same of the pulsing.
  double highest_of_pulsing(double low_hz, double high_hz, const Shot& shot) const;

  /// No line makes more visible bands, and none pulses more visibly, for each unit of contrast.
  double most_bands() const { return eye().most_of_bands(); }
  double most_pulsing() const { return eye().most_of_pulsing(); }

 private:
  struct Known {
    explicit Known(const Viewing& viewing) : eye(viewing) {}
    const bands::Eye eye;
  };
  static std::shared_ptr<Known> known_to(const Viewing& viewing);
  template <typename Weight>
  double highest_over(double low_hz, double high_hz, FrameRate frame_rate, Weight weight) const;

  std::shared_ptr<Known> known_;
};

}  // namespace lampbeat::reasoning::judge
