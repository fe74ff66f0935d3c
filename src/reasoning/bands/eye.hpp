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

 private:
  Viewing viewing_;
  PictureAngle picture_;
  CastleModel castle_;
  BartenModel barten_;
  StandingGratings standing_;
};

}  // namespace lampbeat::reasoning::bands
