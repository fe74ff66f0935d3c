#include <cmath>
#include <numbers>
#include <vector>

#include "lampbeat/banding.hpp"
#include "lampbeat/exposure.hpp"
#include "lampbeat/prediction.hpp"
#include "reasoning/predict_lights.hpp"
#include "support/catch.hpp"

// Tables computed beforehand from the definition of the exposure integral, with tools that share
// nothing with this project; the model itself is that of Sheinin, Schechner & Kutulakos, "Rolling
// Shutter Imaging on the Electric Grid", ICCP 2018.

using namespace lampbeat;
using namespace predict_lights;

namespace {

Prediction of(const Light& light, const Shot& shot) {
  return predict(std::vector<LightShare>{{light, 1.0}}, shot, {});
}

}  // namespace

TEST_CASE("what common shutter angles leave of 100 and 120 Hz, and how it beats") {
  struct Row {
    double hz;
    FrameRate fps;
    double left_180, left_90, left_360, beat_hz;
  };
  const Row table[] = {
      {100, {24000, 1001}, 0.040469, 0.040836, 0.039021, 4.095904},
      {100, {24, 1}, 0.039545, 0.039886, 0.038197, 4},
      {100, {25, 1}, 0, 0, 0, 0},
      {100, {30000, 1001}, 0.164732, 0.189929, 0.083112, 10.089910},
      {100, {30, 1}, 0.165399, 0.190986, 0.082699, 10},
      {100, {48, 1}, 0.039886, 0.609846, 0.039545, 4},
      {100, {50, 1}, 0, 0.636620, 0, 0},
      {100, {60000, 1001}, 0.189929, 0.737434, 0.164732, -19.880120},
      {100, {60, 1}, 0.190986, 0.737913, 0.165399, -20},
      {100, {120, 1}, 0.737913, 0.930119, 0.190986, -20},
      {120, {24000, 1001}, 0.127193, 0.180588, 0.000999, 0.119880},
      {120, {24, 1}, 0.127324, 0.180063, 0, 0},
      {120, {25, 1}, 0.126138, 0.155915, 0.038979, -5},
      {120, {30000, 1001}, 0.000999, 0.000999, 0.000999, 0.119880},
      {120, {30, 1}, 0, 0, 0, 0},
      {120, {50, 1}, 0.155915, 0.504551, 0.126138, 20},
      {120, {60000, 1001}, 0.000999, 0.635983, 0.000999, 0.119880},
      {120, {60, 1}, 0, 0.636620, 0, 0},
      {120, {120, 1}, 0.636620, 0.900316, 0, 0},
  };
  for (const Row& row : table) {
    const double frame_s = row.fps.frame_s();
    INFO(row.hz << " Hz at " << row.fps.per_s());
    CHECK(std::abs(exposure_gain(row.hz, frame_s / 2)) == Approx(row.left_180).margin(6e-7));
    CHECK(std::abs(exposure_gain(row.hz, frame_s / 4)) == Approx(row.left_90).margin(6e-7));
    CHECK(std::abs(exposure_gain(row.hz, frame_s)) == Approx(row.left_360).margin(6e-7));
    CHECK(alias_hz(row.hz, row.fps) == Approx(row.beat_hz).margin(6e-7));
  }
}

TEST_CASE("what common exposure times leave of 100 and 120 Hz") {
  const double table[][3] = {
      {48, 0.039545, 0.127324},  {50, 0, 0.126138},         {60, 0.165399, 0},
      {100, 0, 0.155915},        {120, 0.190986, 0},        {125, 0.233872, 0.041557},
      {250, 0.756827, 0.661837}, {500, 0.935489, 0.907909}, {1000, 0.983632, 0.976481}};
  for (const auto& [parts, left_100, left_120] : table) {
    CHECK(std::abs(exposure_gain(100, 1 / parts)) == Approx(left_100).margin(6e-7));
    CHECK(std::abs(exposure_gain(120, 1 / parts)) == Approx(left_120).margin(6e-7));
  }
}

TEST_CASE("a fully rectified sine: bands over all phases, pulsing over those the frames sample") {
  struct Row {
    double mains_hz;
    FrameRate fps;
    double angle_deg, bands_percent, pulse_percent;
  };
  const Row table[] = {{50, {24, 1}, 180, 2.94681, 2.94681},
                       {60, {25, 1}, 180, 8.30344, 7.95923},
                       {50, {30, 1}, 180, 10.87411, 9.56958},
                       {50, {60, 1}, 180, 13.16525, 11.45038},
                       {60, {50, 1}, 180, 11.02960, 10.57340},
                       {60, {24, 1}, 180, 8.28427, 0},
                       {60, {24, 1}, 90, 12.46797, 0},
                       {50, {24, 1}, 172.8, 0, 0},
                       {60, {25, 1}, 150, 0, 0}};
  for (const Row& row : table) {
    const Light light = rectified_sine(row.mains_hz, 200);
    Shot shot{row.fps, row.angle_deg / 360.0 * row.fps.frame_s(), 0.016, 4000};
    INFO(row.mains_hz << " Hz, " << row.fps.per_s() << " fps, " << row.angle_deg << "°");
    CHECK(of(light, shot).nominal.band_percent ==
          Approx(row.bands_percent).epsilon(0.001).margin(1e-3));
    shot.readout_s = 0.0;
    CHECK(of(light, shot).nominal.pulse_percent ==
          Approx(row.pulse_percent).epsilon(0.001).margin(1e-3));
  }
}

TEST_CASE("eight rows of a frame, worked by hand") {
  // L = 1 + 0.5 sin(2π 100 t), exposure 1/250 s, readout 16 ms.
  Light light;
  light.components = {{100.0, 0.5, -std::numbers::pi / 2, {}}};
  const double rows[] = {1.359892, 1.222426, 0.777574, 0.640108,
                         1.000000, 1.359892, 1.222426, 0.777574};
  for (int r = 0; r < 8; ++r) {
    CHECK(row_exposure(light, 0.016 * r / 8, 1.0 / 250.0) == Approx(rows[r]).margin(6e-7));
  }
}

TEST_CASE("bands that drift up the picture once in eight seconds") {
  // Mains 60 Hz, 24/1.001 frames a second, readout 16 ms: 1.92 bands, beat period 8.342 s.
  const Prediction p = of(mains_ripple(60.0, 0.3), {{24000, 1001}, 1.0 / 500.0, 0.016, 1080});
  CHECK(p.nominal.bands_per_frame == Approx(1.92));
  CHECK(1.0 / p.nominal.roll_hz == Approx(8.342).epsilon(1e-4));
  CHECK(p.nominal.roll_heights_per_s == Approx(-0.06244).epsilon(1e-3));
}

TEST_CASE("the angles that null the ripple at n·1000/1001 frame rates") {
  // Arithmetic; the nominal angle leaves 0.000999 of the modulation.
  const FrameRate film{24000, 1001};
  for (const double angle : {71.928, 143.856, 215.784, 287.712, 359.640}) {
    CHECK(std::abs(exposure_gain(120.0, angle / 360 * film.frame_s())) < 1e-5);
  }
  for (const double angle : {86.314, 172.627, 258.941, 345.255}) {
    CHECK(std::abs(exposure_gain(100.0, angle / 360 * film.frame_s())) < 1e-5);
  }
  CHECK(std::abs(exposure_gain(120.0, 144.0 / 360 * film.frame_s())) ==
        Approx(0.000999).epsilon(1e-3));
}

TEST_CASE("ripple at the mains frequency itself needs whole mains cycles") {
  // Uneven half cycles of discharge lamps: "The use of metal halide discharge lamps for film
  // lighting, Part 1", Lighting Research & Technology (the relation; the figures are arithmetic).
  Light uneven = mains_ripple(50.0, 0.3);
  uneven.components.push_back({50.0, 0.05, 0.0, 1});
  const auto percent = [&](double exposure_s) {
    return of(uneven, {{24, 1}, exposure_s, 0.02, 1080}).nominal.band_percent;
  };
  CHECK(percent(1.0 / 50.0) < 1e-6);
  CHECK(percent(1.0 / 25.0) < 1e-6);
  CHECK(percent(1.0 / 100.0) == Approx(100.0 * 0.05 * 2.0 / std::numbers::pi).epsilon(0.01));
}

TEST_CASE("the defaults for how far the mains may drift are the published ones") {
  CHECK(default_mains_tolerance_hz(50.0) == Approx(0.5));    // EN 50160, second-hand
  CHECK(default_mains_tolerance_hz(60.0) == Approx(0.144));  // NERC, Western interconnection
}
