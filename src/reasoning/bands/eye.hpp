#pragma once

#include "lampbeat/prediction.hpp"
#include "lampbeat/visibility.hpp"
#include "reasoning/bands/vision_models.hpp"

namespace lampbeat::reasoning::bands {

/// One viewer before one screen: `band_visibility` and `pulse_visibility` for whoever asks about
/// many patterns.
class Eye {
 public:
  explicit Eye(const Viewing& viewing);

  const Viewing& viewing() const { return viewing_; }
  Visibility of_bands(double contrast, double bands, double roll_hz) const;
  Visibility of_pulsing(double contrast, double hz) const;

  /// No bands, and no pulsing, are more visible for each unit of contrast, to any of the models.
  double most_of_bands() const { return most_of_bands_; }
  double most_of_pulsing() const { return most_of_pulsing_; }

 private:
  Viewing viewing_;
  PictureAngle picture_;
  CastleModel castle_;
  BartenModel barten_;
  StandingGratings standing_;
  double most_of_bands_;
  double most_of_pulsing_;
};

}  // namespace lampbeat::reasoning::bands
