#include <cmath>
#include <optional>
#include <string>

#include "lampbeat/version.hpp"
#include "support/catch.hpp"
#include "support/metering.hpp"
#include "support/places.hpp"

using namespace lampbeat;

// What this version of the measurement says of the example captures, digit by digit. None of these
// is the truth (that is in captures/MANIFEST.md, and other tests hold the figures to it): they are
// here so that a change of the method is noticed. Whoever moves one on purpose raises
// measurement_version in lampbeat/version.hpp, so that two measurements made a year apart are
// compared knowingly.

namespace {

constexpr int recorded_under_version = 5;
/// Compilers and FFT plans round differently; a change of method moves far more.
constexpr double agreement = 1e-4;

struct Golden {
  const char* capture;
  std::optional<double> dark_level;
  std::optional<double> percent_flicker, flicker_index, dominant_hz, mains_hz, svm, below_200;
};

const Golden all_golden[] = {
    {"cabinet-strip-20.wav", 0.01, 100, 0.799992712, 481.300076, std::nullopt, 3.03980473,
     5.38816143},
    {"cabinet-strip-70.wav", 0.01, 100, 0.299965225, 481.299956, std::nullopt, 1.18985077,
     2.03010938},
    {"ceiling-panel.wav", 0.01, 1.1949065964, 0.00351603807, 119.998986, 59.9994932, 0.0406426636,
     1.25011413},
    {"worktop-panel.wav", 0.01, 45.0031661, 0.107405475, 120.019949, 60.0099746, 1.25417849,
     34.1660977},
    {"worktop-panel.flac", 0.01, 45.0028244, 0.10740566, 120.019949, 60.0099745, 1.25417909,
     34.1652903},
    {"worktop-sound-card.wav", std::nullopt, std::nullopt, std::nullopt, 120.02, 60.0099999,
     std::nullopt, std::nullopt},
    {"store-room-tube.flac", 0.01, 29.5503901671, 0.0721251297, 119.959977, 59.9799883, 0.84023756,
     24.3941548},
    {"range-hood.csv", 0, 4.97923166, 0.0159431013, 119.979729, 59.9898645, 0.184187809,
     5.31756563},
    {"pantry-logger.csv", 3.072, 29.87593, 0.0742412865, 120.039989, 60.0199944, 0.867081693,
     std::nullopt},
};

void check(const char* figure, const std::optional<double>& measured,
           const std::optional<double>& golden) {
  CAPTURE(figure);
  REQUIRE(measured.has_value() == golden.has_value());
  if (golden) CHECK(*measured == Approx(*golden).epsilon(agreement));
}

}  // namespace

TEST_CASE("The example captures measure as they did under this measurement version") {
  REQUIRE(measurement_version == recorded_under_version);
  for (const Golden& golden : all_golden) {
    CAPTURE(golden.capture);
    const auto source = open_capture(places::sources() + "/captures/" + golden.capture, {});
    MeasurementSettings settings;
    settings.dark_level = golden.dark_level;
    const Measurement m = measure(*source, settings);
    check("percent flicker", m.percent_flicker, golden.percent_flicker);
    check("flicker index", m.flicker_index, golden.flicker_index);
    check("dominant frequency", m.dominant_hz, golden.dominant_hz);
    check("mains frequency", m.mains_hz, golden.mains_hz);
    check("SVM", m.svm, golden.svm);
    check("low-pass at 200 Hz", m.lowpass_percent[Ja10CutOff::at_200_hz], golden.below_200);
  }
}
