#include <cmath>

#include "lampbeat/visibility.hpp"
#include "support/catch.hpp"

using namespace lampbeat;

// Where one model of vision is too kind, another published one or a measured threshold counts.

TEST_CASE("standing patterns of a band or two are judged by measured thresholds") {
  // Rovamo et al. 1993, static gratings on 50 cd/m²: 0.125 and 0.5 cycles per degree, areas in
  // square degrees; from castleCSF's data_aggregated.csv (MIT licence).
  CHECK(measured_standing_sensitivity(0.125, 0.0, 61.2) == Approx(138.95));
  CHECK(measured_standing_sensitivity(0.125, 0.0, 247.4) == Approx(167.99));
  CHECK(measured_standing_sensitivity(0.125, 0.0, 963.0) == Approx(219.11));
  CHECK(measured_standing_sensitivity(0.5, 0.0, 16.0) == Approx(117.98));
  CHECK(measured_standing_sensitivity(0.5, 0.0, 255.0) == Approx(385.16));
  CHECK(measured_standing_sensitivity(0.5, 0.0, 981.0) == Approx(466.13));
  CHECK(measured_standing_sensitivity(0.125, 0.5, 247.4) == 0.0);  // it moves
  CHECK(measured_standing_sensitivity(0.51, 0.0, 255.0) == 0.0);   // nothing was measured there

  // What castleCSF alone puts at 0.57 of threshold lies at 1.6 to 2.1 times it.
  const Viewing viewing;
  const PictureAngle picture = picture_angle(viewing.distance_heights);
  for (const double bands : {1.1, 2.0}) {
    const double castle =
        contrast_sensitivity(bands / picture.height_deg, 0.0, 100.0, picture.area_deg2);
    const double contrast = 0.57 / system_gamma / castle;
    const Visibility seen = band_visibility(contrast, bands, 0.0, viewing);
    CHECK(seen.most_sensitive > 1.55);
    CHECK(seen.most_sensitive < 2.2);
    CHECK(verdict_of(seen) == Verdict::borderline);  // castleCSF and Barten call it clean
  }
}

TEST_CASE("pulsing of the whole picture is judged by Barten's full-field flicker limit") {
  // Barten 1999 at 100 cd/m² and 30°, evaluated independently: 10, 15, 20, 30 Hz.
  CHECK(barten_sensitivity(0.0, 10.0, 100.0, 30.0) == Approx(183.502).epsilon(2e-3));
  CHECK(barten_sensitivity(0.0, 15.0, 100.0, 30.0) == Approx(225.772).epsilon(2e-3));
  CHECK(barten_sensitivity(0.0, 20.0, 100.0, 30.0) == Approx(195.253).epsilon(2e-3));
  CHECK(barten_sensitivity(0.0, 30.0, 100.0, 30.0) == Approx(91.456).epsilon(2e-3));
  const Viewing viewing;
  const double field_deg = std::sqrt(picture_angle(viewing.distance_heights).area_deg2);
  for (const double hz : {10.0, 15.0, 20.0, 30.0}) {
    const double threshold = 1.0 / system_gamma / barten_sensitivity(0.0, hz, 100.0, field_deg);
    CHECK(pulse_visibility(threshold, hz, viewing).most_sensitive >= 0.999);
  }
  // Slow breathing is seen against the edge of the picture, of which the limit knows nothing.
  CHECK(verdict_of(pulse_visibility(0.3, 0.5, viewing)) == Verdict::strong);
}

TEST_CASE("where one published model calls a pattern clean, the verdict is at most borderline") {
  CHECK(verdict_of(Visibility{9.0, 0.59}) == Verdict::borderline);
  CHECK(verdict_of(Visibility{9.0, 0.61}) == Verdict::strong);
  CHECK(verdict_of(Visibility{0.59, 0.1}) == Verdict::clean);
  CHECK(verdict_of(Visibility{1.0, 0.9}) == Verdict::borderline);
}

TEST_CASE("noise hides no more than averaging rows and two seconds of frames leaves") {
  CHECK(hidden_by_noise(0.0, 25.0) == 0.0);
  CHECK(hidden_by_noise(1.0, 25.0) == Approx(0.01 / std::sqrt(1920.0 * 50.0)));
}
