#include <algorithm>
#include <cmath>

#include "lampbeat/camera.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/prediction.hpp"
#include "lampbeat/typical.hpp"
#include "lampbeat/visibility.hpp"
#include "support/catch.hpp"

using namespace lampbeat;

TEST_CASE("frame rates are equal when their fractions are") {
  CHECK(FrameRate{50, 2} == FrameRate{25, 1});
  CHECK(FrameRate{60000, 2002} == FrameRate{30000, 1001});
  CHECK(FrameRate{30000, 1001} != FrameRate{2997, 100});
  CHECK(FrameRate{30000, 1001} != FrameRate{30, 1});
  CHECK(FrameRate{0, 1} == FrameRate{0, 1});
  CHECK(FrameRate{0, 1} != FrameRate{25, 1});
  // Products of these would not fit.
  CHECK(FrameRate{999999999999, 999999999998} != FrameRate{999999999998, 999999999997});
  CHECK(FrameRate{999999999999, 3} == FrameRate{333333333333, 1});
}

TEST_CASE("clips faster than a screen are watched as slow motion") {
  Viewing viewing;
  CHECK(slowing(24.0, viewing) == 1.0);
  CHECK(slowing(60.0, viewing) == 1.0);
  CHECK(slowing(120.0, viewing) == 0.25);
  CHECK(slowing(0.0, viewing) == 1.0);  // a still
  viewing.playback_fps = 24.0;
  CHECK(slowing(240.0, viewing) == 0.1);
  CHECK(slowing(12.0, viewing) == 2.0);
  CHECK(slowing(0.0, viewing) == 1.0);
}

TEST_CASE("a prediction says when its readout was assumed") {
  const LightShare tube{typical_light("tube-magnetic", 50.0), 1.0};
  const auto said = [&](const Shot& shot) {
    const Prediction p = predict({&tube, 1}, shot, {});
    CHECK(p.shot.readout_s == shot.readout_s);
    return std::count_if(p.findings.begin(), p.findings.end(),
                         [](const Finding& f) { return f.code == "readout_assumed"; });
  };
  CHECK(said(shot_of({25, 1}, 0.01, std::nullopt)) == 1);
  CHECK(shot_of({25, 1}, 0.01, std::nullopt).readout_s == assumed_readout_s);
  CHECK(shot_of({240, 1}, 0.001, std::nullopt).readout_s == 1.0 / 240.0);
  CHECK(said(shot_of({25, 1}, 0.01, 0.016)) == 0);
  CHECK(said({{25, 1}, 0.01, 0.016, 1080}) == 0);
}

TEST_CASE("a mains frequency is one a supply can have") {
  CHECK(is_mains_hz(10.0));
  CHECK(is_mains_hz(400.0));
  CHECK(is_mains_hz(1000.0));
  CHECK_FALSE(is_mains_hz(9.9));
  CHECK_FALSE(is_mains_hz(std::nan("")));
  CHECK_THROWS_AS(require_mains_hz(5.0), UsageError);
  CHECK_THROWS_AS(typical_light("tungsten", 5.0), UsageError);
}
