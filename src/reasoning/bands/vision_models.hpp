#pragma once

// The models of vision behind `visibility.hpp`, each set up for one screen: what depends on its
// luminance and size alone is worked out once, so that a pattern costs a few powers.

namespace lampbeat::reasoning::bands {

/// castleCSF (`contrast_sensitivity`).
class CastleModel {
 public:
  CastleModel(double luminance_cd_m2, double area_deg2);
  double sensitivity(double cycles_per_degree, double hz) const;
  /// No pattern is above this.
  double bound() const { return sustained_.bound() + transient_.bound(); }

 private:
  /// One of its two channels: a log parabola over spatial frequency, flat below its peak, with
  /// spatial summation over the area.
  class Channel {
   public:
    struct Shape {
      double gain, peak_cpd, breadth, droop, area_deg2, corner_cpd;
    };
    Channel(const Shape& shape, double area_deg2);
    double sensitivity(double cpd, double log_cpd) const;
    double bound() const;

   private:
    Shape shape_;
    double area_deg2_;
    double log_peak_;
    double width_;
  };
  double transient_response(double log_hz) const;

  Channel sustained_;
  Channel transient_;
  double best_hz_power_;
};

/// Barten's model (`barten_sensitivity`).
class BartenModel {
 public:
  BartenModel(double luminance_cd_m2, double field_deg);
  double sensitivity(double cycles_per_degree, double hz) const;
  /// No pattern between these spatial frequencies is above this, whatever its speed.
  double bound(double from_cpd, double to_cpd) const;

 private:
  double blur_;
  double inverse_area_;
  double tau1_s_;
  double tau2_s_;
  double photon_noise_;
};

/// Measured standing gratings (`measured_standing_sensitivity`).
class StandingGratings {
 public:
  explicit StandingGratings(double area_deg2);
  double sensitivity(double cycles_per_degree, double hz) const;
  /// No pattern is above this.
  double bound() const;

 private:
  double coarse_;
  double fine_;
};

}  // namespace lampbeat::reasoning::bands
