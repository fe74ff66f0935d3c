#include <cmath>
#include <string>
#include <utility>

#include "lampbeat/error.hpp"
#include "lampbeat/visibility.hpp"
#include "support/catch.hpp"

using namespace lampbeat;

TEST_CASE("the contrast sensitivity model gives the values of its published formulas") {
  // castleCSF (gfxdisp/castleCSF, MIT): cpd, Hz, cd/m², deg² and sensitivity, evaluated from the
  // published formulas by a separate program.
  const double table[][5] = {{1, 0, 100, 1, 51.4673},     {4, 0, 100, 1, 134.2779},
                             {0.1, 4, 100, 100, 92.5714}, {0.1, 10, 100, 100, 140.0371},
                             {0.5, 5, 100, 20, 148.7155}, {0.0625, 8, 100, 300, 125.2339},
                             {2, 10, 50, 4, 104.6541}};
  for (const auto& [cpd, hz, luminance, area, sensitivity] : table) {
    CHECK(contrast_sensitivity(cpd, hz, luminance, area) == Approx(sensitivity).epsilon(2e-6));
  }
}

TEST_CASE("measured thresholds for coarse moving gratings are met within the model's scatter") {
  // castleCSF's data table data_aggregated.csv (open): Robson 1966; Snowden et al. 1995; Rovamo et
  // al. 1993 (standing, 0.5 cpd). Each value within a factor of 2.5, the mean within 1.26 (0.1 in
  // log10): the published scatter over all such points is ±0.2 in log10.
  const double table[][5] = {{0.5, 0.5, 20, 6.25, 29.13},       {0.5, 1, 20, 6.25, 41.56},
                             {0.5, 1, 20, 6.25, 39.45},         {0.5, 2, 20, 6.25, 67.74},
                             {0.5, 4, 20, 6.25, 136.86},        {0.5, 5.657, 20, 6.25, 179.99},
                             {0.5, 8, 20, 6.25, 147.38},        {0.5, 11.314, 20, 6.25, 101.03},
                             {0.5, 16, 20, 6.25, 48.90},        {0.5, 22.627, 20, 6.25, 18.54},
                             {0.5, 32, 20, 6.25, 3.86},         {1, 6.063, 20, 6.25, 205.59},
                             {0.1, 0.758, 170, 8.03, 6.247},    {0.1, 3.249, 170, 8.03, 50.12},
                             {0.1, 9.190, 170, 8.03, 103.05},   {0.1, 18.379, 170, 8.03, 81.04},
                             {0.1, 36.758, 170, 8.03, 24.87},   {0.1, 55.715, 170, 8.03, 2.205},
                             {0.25, 12.126, 170, 8.03, 127.27}, {0.5, 0, 50, 16.0, 117.98},
                             {0.5, 0, 50, 255, 385.16},         {0.5, 0, 50, 981, 466.13}};
  double sum = 0.0, squares = 0.0;
  for (const auto& [cpd, hz, luminance, area, sensitivity] : table) {
    const double log_ratio =
        std::log10(contrast_sensitivity(cpd, hz, luminance, area) / sensitivity);
    INFO(cpd << " cpd " << hz << " Hz " << area << " deg²: log ratio " << log_ratio);
    CHECK(std::abs(log_ratio) < 0.4);
    sum += log_ratio;
    squares += log_ratio * log_ratio;
  }
  const double count = std::size(table);
  CHECK(std::abs(sum / count) < 0.1);
  CHECK(std::sqrt(squares / count) < 0.25);
}

TEST_CASE(
    "very coarse standing gratings are seen more easily than the model says, by about three") {
  // Rovamo et al. 1993, 0.125 cpd, same data table. A known weakness, stated in visibility.hpp: the
  // check holds the statement to the data.
  for (const auto& [area, sensitivity] :
       {std::pair{61.2, 138.95}, std::pair{247.4, 167.99}, std::pair{963.0, 219.11}}) {
    const double ratio = sensitivity / contrast_sensitivity(0.125, 0.0, 50.0, area);
    CHECK(ratio > 2.5);
    CHECK(ratio < 3.5);
  }
}

TEST_CASE("Barten's 1999 model gives the values of its published formulas") {
  // P. Barten 1999, original constants, evaluated by a separate program with p = 1.24e6.
  const double flicker[][2] = {{1, 3.1815},   {2, 12.4999},  {5, 69.1215},  {8, 142.255},
                               {10, 183.502}, {15, 225.772}, {20, 195.253}, {30, 91.456},
                               {40, 34.755},  {50, 13.043},  {60, 5.152}};
  for (const auto& [hz, sensitivity] : flicker) {
    CHECK(barten_sensitivity(0.0, hz, 100.0, 30.0) == Approx(sensitivity).epsilon(1e-3));
  }
  const double bands[][3] = {{0.1, 1, 64.549},   {0.1, 4, 109.382}, {0.1, 10, 242.037},
                             {0.1, 20, 217.807}, {0.5, 4, 313.033}, {0.5, 10, 356.413}};
  for (const auto& [cpd, hz, sensitivity] : bands) {
    CHECK(barten_sensitivity(cpd, hz, 100.0, 18.0) == Approx(sensitivity).epsilon(1e-3));
  }
}

TEST_CASE("both models agree about bands as they are seen, within the doubt stated") {
  // One to three bands at 3.2 picture heights, rolling at 0.12 to 10 Hz: the range of banding.
  for (const double bands : {1.6, 2.0, 3.09}) {
    for (const double hz : {0.12, 4.0, 10.0}) {
      const PictureAngle picture = picture_angle(3.2);
      const double cpd = bands / picture.height_deg;
      const double castle = contrast_sensitivity(cpd, hz, 100.0, picture.area_deg2);
      const double barten = barten_sensitivity(cpd, hz, 100.0, std::sqrt(picture.area_deg2));
      INFO(bands << " bands, " << hz << " Hz: " << castle << " against " << barten);
      CHECK(std::abs(std::log10(castle / barten)) < 0.4);
    }
  }
}

TEST_CASE("a picture's height in degrees at standard viewing distances") {
  // 2 atan(1/2D); design viewing distances of ITU-R BT.500 and BT.2022 (from memory).
  CHECK(picture_angle(3.1).height_deg == Approx(18.3247).epsilon(1e-5));
  CHECK(picture_angle(3.2).height_deg == Approx(17.7613).epsilon(1e-5));
  CHECK(picture_angle(1.6).height_deg == Approx(34.7080).epsilon(1e-5));
  CHECK(picture_angle(6.0).height_deg == Approx(9.5273).epsilon(1e-4));
  CHECK(picture_angle(3.2).area_deg2 == Approx(17.76 * 31.05).epsilon(1e-3));
}

TEST_CASE("the smallest recordable swing follows from the BT.709 transfer function") {
  // One code value at reference white: dV/dL = 0.45 · 1.099 (ITU-R BT.709), 219 or 876 steps.
  CHECK(recording_step(8) == Approx(0.009233).epsilon(1e-3));
  CHECK(recording_step(10) == Approx(recording_step(8) / 4.0));
  CHECK_THROWS_AS(recording_step(12), UsageError);
}

TEST_CASE("flashing of 20 cd/m² more than three times a second is hazardous") {
  // ITU-R BT.1702 (figures second-hand; the rule for bright pictures from memory).
  CHECK(flashes_hazardously(0.191, 20.0, 100.0));  // 38 cd/m² at 20 Hz
  CHECK_FALSE(flashes_hazardously(0.191, 2.9, 100.0));
  CHECK_FALSE(flashes_hazardously(0.09, 20.0, 100.0));
  CHECK(flashes_hazardously(0.06, 5.0, 250.0));
  CHECK_FALSE(flashes_hazardously(0.05, 5.0, 250.0));
}

TEST_CASE("verdicts allow for the model's doubt on either side of the threshold") {
  CHECK(verdict_of(0.0) == Verdict::clean);
  CHECK(verdict_of(0.59) == Verdict::clean);
  CHECK(verdict_of(1.0) == Verdict::borderline);
  CHECK(verdict_of(1.6) == Verdict::visible);
  CHECK(verdict_of(5.0) == Verdict::strong);
  CHECK(std::string(verdict_word(Verdict::borderline)) == "borderline");
}

TEST_CASE("coarse patterns are judged at the edge of the model's range") {
  const Viewing viewing;
  const Visibility tenth = band_visibility(0.01, 0.1, 4.0, viewing);
  const Visibility most = band_visibility(0.01, 0.9, 4.0, viewing);
  CHECK(tenth.most_sensitive == most.most_sensitive);
  CHECK(tenth.least_sensitive == most.least_sensitive);
}
