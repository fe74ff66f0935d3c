#include "lampbeat/advice.hpp"

#include <algorithm>
#include <string>

#include "lampbeat/typical.hpp"
#include "support/catch.hpp"

using namespace lampbeat;

namespace {

using Sentences = std::vector<std::string>;

Sentences on_shot(const std::vector<LightShare>& lights, const char* fps, const char* shutter,
                  double readout_s = 0.016) {
  Shot shot;
  shot.fps = parse_frame_rate(fps);
  shot.exposure_s = parse_exposure_s(shutter, shot.fps);
  shot.readout_s = readout_s;
  return advise(predict(lights, shot, {}));
}

Sentences on_shot(const char* name, double mains_hz, const char* fps, const char* shutter,
                  double readout_s = 0.016) {
  return on_shot({{typical_light(name, mains_hz), 1.0}}, fps, shutter, readout_s);
}

bool says(const Sentences& sentences, const std::string& part) {
  return std::any_of(sentences.begin(), sentences.end(),
                     [&](const std::string& s) { return s.find(part) != std::string::npos; });
}

}  // namespace

TEST_CASE("advice of the judge at hand is that of one made anew") {
  for (const char* name : {"tube-magnetic", "led-pwm", "led-rippled"}) {
    for (const char* shutter : {"1/50", "1/60", "1/1000"}) {
      const LightShare light{typical_light(name, 50), 1.0};
      const FrameRate fps{25, 1};
      Prediction p = predict({&light, 1}, {fps, parse_exposure_s(shutter, fps), 0.016, 1080}, {});
      REQUIRE(p.judged);
      const Sentences at_hand = advise(p);
      p.judged.reset();
      CHECK(advise(p) == at_hand);
    }
  }
}

TEST_CASE("a matched shutter is explained by its whole cycles") {
  CHECK(says(on_shot("tube-magnetic", 60, "30", "1/60"),
             "1/60 s spans exactly two 120 Hz cycles, so every row collects the same light."));
  CHECK(says(on_shot("tube-magnetic", 50, "25", "1/100"), "exactly one 100 Hz cycle,"));
  CHECK(says(on_shot("metal-halide", 60, "25", "1/30"), "exactly four 120 Hz cycles"));
  CHECK_FALSE(says(on_shot("tube-magnetic", 60, "30", "1/50"), "exactly"));
}

TEST_CASE("whole cycles of a dimmer's own clock are not trusted further than the clock") {
  const Sentences pwm = on_shot("led-pwm", 50, "25", "1/50");
  CHECK(says(pwm, "clean while the light keeps its own time, but not when its clock is off by"));
  CHECK_FALSE(says(pwm, "so every row collects the same light"));
}

TEST_CASE("a banding shutter is explained by what it cuts off, with the nearest clean one") {
  const Sentences wrong = on_shot("tube-magnetic", 50, "25", "1/60");
  CHECK(says(wrong, "1/60 s lasts 1.67 cycles of the 100 Hz light, not a whole number"));
  CHECK(says(wrong, "Set 1/50 s"));
  const Sentences fast = on_shot("tube-magnetic", 50, "25", "1/250");
  CHECK(says(fast, "catches only 0.40 of a 100 Hz cycle"));
  CHECK(says(fast, "Set 1/100 s"));
  CHECK(says(fast, "1 stop darker than 180\u00b0, motion blur 50 % of it"));
}

TEST_CASE("the frame rate rule is contradicted only where someone could rely on it") {
  // 30 fps under 60 Hz mains stands still, yet bands plainly at 1/250. Common practice, no source.
  CHECK(says(on_shot("tube-magnetic", 60, "30", "1/250"), "only makes the bands stand still"));
  CHECK(says(on_shot("tube-magnetic", 60, "29.97", "1/250"), "only makes the bands crawl"));
  CHECK_FALSE(says(on_shot("tube-magnetic", 60, "25", "1/250"), "in step"));
  CHECK_FALSE(says(on_shot("tube-magnetic", 60, "30", "1/60"), "in step"));
  CHECK_FALSE(says(on_shot("tube-magnetic", 60, "240", "1/480", 0.004), "in step"));
}

TEST_CASE("the LED rule is judged by the light itself, and only for LED") {
  CHECK(says(on_shot("led-rippled", 50, "25", "1/250"), "\"constant current\" proves nothing"));
  CHECK(says(on_shot("led-steady", 50, "25", "1/250"), "holds for 'led-steady'"));
  CHECK(says(on_shot("led-pwm", 50, "25", "1/250"), "switching dimmer"));
  CHECK_FALSE(says(on_shot("tube-magnetic", 50, "25", "1/250"), "LED"));
  Light filled = typical_light("tube-magnetic", 50);
  filled.name = "gas-filled lamp, bundled";
  filled.source = "a capture";
  CHECK_FALSE(says(on_shot({{filled, 1.0}}, "25", "1/250"), "LED"));
}

TEST_CASE("the light to blame in a mixture is named with its part") {
  const std::vector<LightShare> lights = {{typical_light("led-steady", 50), 0.8},
                                          {typical_light("tube-magnetic", 50), 0.2}};
  CHECK(says(on_shot(lights, "25", "1/250"), "'tube-magnetic' is to blame"));
  CHECK_FALSE(says(on_shot("tube-magnetic", 50, "25", "1/250"), "to blame"));
  const std::vector<LightShare> equal = {{typical_light("tube-magnetic", 50), 0.5},
                                         {typical_light("tube-magnetic", 50), 0.5}};
  CHECK_FALSE(says(on_shot(equal, "25", "1/250"), "to blame"));
}

TEST_CASE("travelling is mentioned when it changes the verdict, with what to set there") {
  CHECK(says(on_shot("tube-magnetic", 50, "25", "1/50"), "In a 60 Hz country"));
  CHECK(says(on_shot("tube-magnetic", 50, "25", "1/50"), "set 1/60 s there"));
  CHECK(says(on_shot("tube-magnetic", 50, "25", "1/60"),
             "same setting would be clean, but not here"));
  CHECK_FALSE(says(on_shot("daylight", 50, "25", "1/60"), "country"));
  CHECK_FALSE(says(on_shot("led-pwm", 50, "25", "1/60"), "country"));
}

TEST_CASE("slow motion without room for a cycle asks for steadier light") {
  const Sentences slow = on_shot("tube-magnetic", 50, "240", "1/480", 0.004);
  CHECK(says(slow, "No shutter at 240 fps is clean"));
  CHECK(says(slow, "a frame is shorter than one 100 Hz cycle"));
  CHECK(says(slow, "these flicker by 28.0 %"));
}

TEST_CASE("flashing of the whole picture is cautioned against, banding is not") {
  CHECK(says(on_shot("led-rippled", 50, "60", "1/250", 0.0), "photosensitive epilepsy"));
  CHECK_FALSE(says(on_shot("tungsten", 50, "25", "1/250"), "photosensitive"));
}

TEST_CASE("a steady light is said to be steady") {
  CHECK(says(on_shot("daylight", 50, "25", "1/1000"), "so bands are not expected at this shutter"));
}

TEST_CASE("advice is at most five sentences a person can read") {
  for (const TypicalLight& kind : typical_lights()) {
    for (const char* fps : {"23.976", "25", "30", "120"}) {
      for (const char* shutter : {"180deg", "1/125", "1/500"}) {
        const Sentences sentences = on_shot(kind.name.c_str(), 50, fps, shutter, 0.008);
        INFO(kind.name << " " << fps << " " << shutter);
        CHECK_FALSE(sentences.empty());
        CHECK(sentences.size() <= 5);
        for (const std::string& s : sentences) {
          CHECK(s.size() < 220);
          CHECK(s.back() == '.');
          CHECK(s.find("nan") == std::string::npos);
        }
      }
    }
  }
}

TEST_CASE("a plan's advice names one setting for all, the hopeless rates and the needed light") {
  PlanRequest request;
  for (const char* fps : {"25", "50", "240"}) request.frame_rates.push_back(parse_frame_rate(fps));
  request.readout_s = 0.004;
  const LightShare tube{typical_light("tube-magnetic", 50), 1.0};
  const Sentences sentences = advise(plan_shutters({&tube, 1}, request));
  CHECK(says(sentences, "1/50 s serves 25 and 50 fps alike"));
  CHECK(says(sentences, "No shutter is clean at 240 fps"));
  CHECK(says(sentences, "these flicker by 28.0 %"));
  CHECK(sentences.size() <= 5);
  request.frame_rates = {{25, 1}};
  const LightShare window{typical_light("daylight", 50), 1.0};
  CHECK(says(advise(plan_shutters({&window, 1}, request)), "any shutter will do"));
}

TEST_CASE("a light with an awkward name stays on one line") {
  Light light = typical_light("tube-magnetic", 50);
  light.name = "bad\n\x1b[31mname" + std::string(300, 'x');
  const std::vector<LightShare> lights = {{light, 0.9}, {typical_light("led-steady", 50), 0.1}};
  for (const std::string& s : on_shot(lights, "25", "1/250")) {
    CHECK(s.find('\n') == std::string::npos);
    CHECK(s.find('\x1b') == std::string::npos);
    CHECK(s.size() < 260);
  }
}
