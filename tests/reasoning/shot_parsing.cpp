#include "lampbeat/shot.hpp"

#include <string>
#include <vector>

#include "lampbeat/error.hpp"
#include "support/catch.hpp"

using namespace lampbeat;

namespace {

std::string message_of(const std::string& exposure, FrameRate fps) {
  try {
    parse_exposure_s(exposure, fps);
  } catch (const UsageError& error) {
    return error.what();
  }
  return "";
}

bool same(FrameRate rate, std::int64_t numerator, std::int64_t denominator) {
  return rate.numerator == numerator && rate.denominator == denominator;
}

}  // namespace

TEST_CASE("the customary decimals mean the exact 1000/1001 rates") {
  // SMPTE practice: 24, 30, 48, 60, 120 and 240 over 1.001.
  CHECK(same(parse_frame_rate("23.976"), 24000, 1001));
  CHECK(same(parse_frame_rate("23.98"), 24000, 1001));
  CHECK(same(parse_frame_rate("29.97"), 30000, 1001));
  CHECK(same(parse_frame_rate("30000/1001"), 30000, 1001));
  CHECK(same(parse_frame_rate("47.952"), 48000, 1001));
  CHECK(same(parse_frame_rate("59.94"), 60000, 1001));
  CHECK(same(parse_frame_rate("119.88"), 120000, 1001));
  CHECK(same(parse_frame_rate("239.76"), 240000, 1001));
  CHECK(same(parse_frame_rate("23.976024"), 24000, 1001));
}

TEST_CASE("other frame rates are taken as written") {
  CHECK(same(parse_frame_rate("24"), 24, 1));
  CHECK(same(parse_frame_rate(" 25 "), 25, 1));
  CHECK(same(parse_frame_rate("50/2"), 25, 1));
  CHECK(same(parse_frame_rate("12.5"), 25, 2));
  CHECK(same(parse_frame_rate("33.33"), 3333, 100));
  CHECK(same(parse_frame_rate("59.9"), 599, 10));
  CHECK(same(parse_frame_rate("24.00"), 24, 1));
}

TEST_CASE("frame rates are read as the trade writes them") {
  for (const char* text : {"24p", "24P", "24fps", "24 fps", "24FPS", "24 p"}) {
    CAPTURE(text);
    CHECK(same(parse_frame_rate(text), 24, 1));
  }
  for (const char* text : {"29,97", "29.97p", "29,97 fps", "30000/1001fps"}) {
    CAPTURE(text);
    CHECK(same(parse_frame_rate(text), 30000, 1001));
  }
  CHECK(same(parse_frame_rate("12,5"), 25, 2));
  CHECK(same(parse_frame_rate("23,976"), 24000, 1001));
}

TEST_CASE("interlaced rates are answered with both that may be meant") {
  try {
    parse_frame_rate("50i");
    FAIL("it was read");
  } catch (const UsageError& error) {
    CHECK(std::string(error.what()).find("25 for its frames, 50 for its fields") !=
          std::string::npos);
  }
}

TEST_CASE("nonsense is no frame rate") {
  for (const char* text : {"",      " ",      "0",          "-24",    "nan",
                           "inf",   "1e3",    "24fpsp",     "24/0",   "0/1",
                           "1/2",   "100001", "24.0000001", "24/1/1", "9999999999999999999999",
                           "1,000", ".",      "..",         "/",      "24 25"}) {
    CAPTURE(text);
    CHECK_THROWS_AS(parse_frame_rate(text), UsageError);
  }
}

TEST_CASE("exposures are read in every way the trade writes them") {
  const FrameRate fps24{24, 1};
  CHECK(parse_exposure_s("180deg", fps24) == Approx(1.0 / 48.0).epsilon(1e-15));
  CHECK(parse_exposure_s("180\u00b0", fps24) == Approx(1.0 / 48.0).epsilon(1e-15));
  CHECK(parse_exposure_s("172.8 deg", fps24) == Approx(0.02).epsilon(1e-15));
  CHECK(parse_exposure_s("1/60", fps24) == Approx(1.0 / 60.0).epsilon(1e-15));
  CHECK(parse_exposure_s("1/60s", fps24) == Approx(1.0 / 60.0).epsilon(1e-15));
  CHECK(parse_exposure_s("3/100", fps24) == Approx(0.03).epsilon(1e-15));
  CHECK(parse_exposure_s("16.7ms", fps24) == Approx(0.0167).epsilon(1e-15));
  CHECK(parse_exposure_s("7.15e-05s", fps24) == Approx(7.15e-5).epsilon(1e-15));
  CHECK(parse_exposure_s("5E2us", fps24) == Approx(5e-4).epsilon(1e-15));
  CHECK_THROWS_AS(parse_exposure_s("1e-400s", fps24), UsageError);
  CHECK_THROWS_AS(parse_exposure_s("1e400s", fps24), UsageError);
  CHECK_THROWS_AS(parse_exposure_s("e5s", fps24), UsageError);
  CHECK(parse_exposure_s("500us", fps24) == Approx(0.0005).epsilon(1e-15));
  CHECK(parse_exposure_s("500\u00b5s", fps24) == Approx(0.0005).epsilon(1e-15));
  CHECK(parse_exposure_s("500\u03bcs", fps24) == Approx(0.0005).epsilon(1e-15));
  CHECK(parse_exposure_s("0.02s", fps24) == Approx(0.02).epsilon(1e-15));
  CHECK(parse_exposure_s("360deg", fps24) == fps24.frame_s());
  CHECK(parse_exposure_s("1/24", fps24) == fps24.frame_s());
  for (const char* text : {"16,7ms", "16.7 MS", "16,700ms", "16.7msec"}) {
    CAPTURE(text);
    CHECK(parse_exposure_s(text, fps24) == Approx(0.0167).epsilon(1e-15));
  }
  for (const char* text : {"0,02s", "0.02 sec", "1/50s", "1/50 s", "172,8deg", "172.8\u00ba"}) {
    CAPTURE(text);
    CHECK(parse_exposure_s(text, fps24) == Approx(0.02).epsilon(1e-15));
  }
}

TEST_CASE("a comma that may part thousands is no decimal comma") {
  CHECK_THROWS_AS(parse_exposure_s("1,000us", {24, 1}), UsageError);
  CHECK_THROWS_AS(parse_exposure_s("1/1,000", {24, 1}), UsageError);
  CHECK(parse_exposure_s("1,00us", {24, 1}) == Approx(1e-6).epsilon(1e-12));
  CHECK(message_of("16,7", {24, 1}).find("16.7ms") != std::string::npos);
}

TEST_CASE("a shutter rounded to the frame is the frame, a longer one is refused with its length") {
  const FrameRate fps5994{60000, 1001};
  CHECK(parse_exposure_s("1/60", fps5994) == Approx(1.0 / 60.0).epsilon(1e-15));
  CHECK(parse_exposure_s("1/59.94", fps5994) == fps5994.frame_s());
  CHECK(parse_exposure_s("41.67ms", {24, 1}) == FrameRate{24, 1}.frame_s());
  CHECK(parse_exposure_s("1/30", {30000, 1001}) == Approx(1.0 / 30.0).epsilon(1e-15));
  const std::string message = message_of("16.7ms", fps5994);
  CHECK(message.find("longer than one frame") != std::string::npos);
  CHECK(message.find("16.683 ms") != std::string::npos);
  CHECK(message.find("59.94") != std::string::npos);
  CHECK_THROWS_AS(parse_exposure_s("361deg", fps5994), UsageError);
}

TEST_CASE("nonsense is no exposure") {
  for (const char* text :
       {"",      "1/0",   "nan", "nandeg",  "1e999",  "1e-3", "-5ms",     "-180deg",
        "0deg",  "0s",    "deg", "s",       "ms",     "/60",  "1/",       "1/-60",
        "-1/60", "1//60", "60",  "1/60/60", "0x10ms", "infs", "1/60 1/50"}) {
    CAPTURE(text);
    CHECK_THROWS_AS(parse_exposure_s(text, {24, 1}), UsageError);
  }
  CHECK_THROWS_AS(parse_exposure_s(std::string(100000, '9') + "ms", {24, 1}), UsageError);
  CHECK(message_of("60", {24, 1}).find("1/60") != std::string::npos);
  CHECK(message_of(std::string(100000, 'x'), {24, 1}).size() < 200);
}

TEST_CASE("readout times are read, and global is none") {
  CHECK(parse_readout_s("global") == 0.0);
  CHECK(parse_readout_s("0") == 0.0);
  CHECK(parse_readout_s("0ms") == 0.0);
  CHECK(parse_readout_s("16ms") == Approx(0.016).epsilon(1e-15));
  CHECK(parse_readout_s("1/60") == Approx(1.0 / 60.0).epsilon(1e-15));
  CHECK(parse_readout_s("1s") == 1.0);
  CHECK(parse_readout_s("16,7ms") == Approx(0.0167).epsilon(1e-15));
  for (const char* text : {"", "16", "-1ms", "2s", "nan", "rolling", "180deg"}) {
    CAPTURE(text);
    CHECK_THROWS_AS(parse_readout_s(text), UsageError);
  }
}

TEST_CASE("shutter angle is the exposed part of a frame in degrees") {
  CHECK(shutter_angle_deg(1.0 / 48.0, {24, 1}) == Approx(180.0));
  CHECK(shutter_angle_deg(1.0 / 50.0, {24, 1}) == Approx(172.8));  // common practice, no source
  CHECK(shutter_angle_deg(1.0 / 60.0, {25, 1}) == Approx(150.0));
}

TEST_CASE("labels read as on a camera's menu") {
  CHECK(frame_rate_label({24, 1}) == "24");
  CHECK(frame_rate_label({24000, 1001}) == "23.976");
  CHECK(frame_rate_label({30000, 1001}) == "29.97");
  CHECK(frame_rate_label({60000, 1001}) == "59.94");
  CHECK(frame_rate_label({120000, 1001}) == "119.88");
  CHECK(frame_rate_label({100, 1}) == "100");
  CHECK(frame_rate_label({25, 2}) == "12.5");
  CHECK(exposure_label(1.0 / 60.0) == "1/60");
  CHECK(exposure_label(0.02) == "1/50");
  CHECK(exposure_label(0.03) == "30 ms");
  CHECK(exposure_label(1001.0 / 60000.0) == "16.68 ms");
  CHECK(exposure_label(0.0005) == "1/2000");
  CHECK(exposure_label(0.5) == "1/2");
  CHECK(exposure_label(0.75) == "0.75 s");
}

TEST_CASE("a label can be typed back and means the same") {
  for (const char* text : {"24", "25", "29.97", "23.976", "59.94", "119.88", "239.76", "479.52"}) {
    const FrameRate fps = parse_frame_rate(text);
    const FrameRate back = parse_frame_rate(frame_rate_label(fps));
    CHECK(same(back, fps.numerator, fps.denominator));
  }
  for (const double exposure_s : {1.0 / 50, 1.0 / 60, 1.0 / 125, 0.03, 0.0005, 1.0 / 24}) {
    CHECK(parse_exposure_s(exposure_label(exposure_s), {24, 1}) ==
          Approx(exposure_s).epsilon(1e-4));
  }
}
