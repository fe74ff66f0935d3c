#include <algorithm>
#include <cmath>
#include <filesystem>
#include <numbers>
#include <string>
#include <vector>

#include "lampbeat/clip.hpp"
#include "support/catch.hpp"
#include "support/run_program.hpp"

using namespace lampbeat;
using test::run_lampbeat;

TEST_CASE("synth renders a clip that says what it is and reads back") {
  const test::ScratchFolder folder("clip");
  const auto run = run_lampbeat("synth " + folder.file("a.y4m") +
                                " --component 100:30 --fps 29.97 --shutter 1/250 --readout 20ms "
                                "--rows 120 --columns 64 --seconds 0.5");
  CHECK(run.exit_code == 0);
  const auto clip = open_clip(folder.file("a.y4m"));
  CHECK(clip->format().width == 64);
  CHECK(clip->format().height == 120);
  CHECK(clip->format().bits == 8);
  CHECK_FALSE(clip->format().full_range);
  CHECK(clip->format().fps == FrameRate{30000, 1001});
  int frames = 0;
  std::vector<double> rows(120, 0.0);
  while (const auto* frame = clip->next()) {
    if (frames++ > 0) continue;
    for (std::size_t i = 0; i < frame->size(); ++i) {
      rows[i / 64] += decode({Transfer::bt709}, ((*frame)[i] - 16.0) / 219.0) / 64.0;
    }
  }
  CHECK(frames == 15);
  // 1/250 s of a 100 Hz sine keeps sin(0.4π)/(0.4π) of it; two bands stand in 20 ms.
  const auto [low, high] = std::minmax_element(rows.begin(), rows.end());
  CHECK((*high - *low) / (*high + *low) ==
        Approx(0.3 * std::sin(0.4 * std::numbers::pi) / (0.4 * std::numbers::pi)).margin(0.006));
}

TEST_CASE("A whole-cycle shutter renders a wall without bands, and 10 bits are read back as such") {
  const test::ScratchFolder folder("clean-clip");
  CHECK(run_lampbeat("synth " + folder.file("a.y4m") +
                     " --mains 50 --rectified 80 --fps 24 --shutter 172.8deg --bits 10 --noise 0 "
                     "--rows 90 --columns 32 --seconds 0.25")
            .exit_code == 0);
  const auto clip = open_clip(folder.file("a.y4m"));
  CHECK(clip->format().bits == 10);
  int frames = 0;
  while (const auto* frame = clip->next()) {
    ++frames;
    CHECK(std::all_of(frame->begin(), frame->end(),
                      [&](auto code) { return code == frame->front(); }));
  }
  CHECK(frames == 6);
}

TEST_CASE("synth writes a clip to a pipe when a camera is described") {
  const auto run = run_lampbeat("synth - --mains 50 --fps 25 --rows 4 --columns 4 --seconds 0.08");
  CHECK(run.exit_code == 0);
  CHECK(run.err.empty());
  const std::string header = "YUV4MPEG2 W4 H4 F25:1 Ip A1:1 C420jpeg XCOLORRANGE=LIMITED\n";
  CHECK(run.out.substr(0, header.size()) == header);
  CHECK(run.out.size() == header.size() + 2 * (6 + 16 + 8));
}

TEST_CASE("A clip that clips is made, and a note says that it will read low") {
  const test::ScratchFolder folder("bright-clip");
  const auto run = run_lampbeat("synth " + folder.file("a.y4m") +
                                " --component 100:90 --shutter 1/1000 --wall 80 --rows 60 "
                                "--columns 16 --seconds 0.2");
  CHECK(run.exit_code == 0);
  CHECK(run.err.find("brighter than white") != std::string::npos);
}

TEST_CASE("synth refuses a camera nobody has") {
  const test::ScratchFolder folder("bad-camera");
  for (const char* arguments :
       {"--fps 0", "--fps fast", "--shutter 1/10", "--shutter 0", "--readout 2", "--rows 0",
        "--columns 99999", "--transfer film", "--bits 9", "--wall 0", "--noise 500"}) {
    const auto run =
        run_lampbeat("synth " + folder.file("x.y4m") + " --mains 50 --seconds 0.1 " + arguments);
    CAPTURE(arguments, run.err);
    CHECK(run.exit_code == 2);
    CHECK(run.err.size() > 20);
  }
  CHECK(std::filesystem::is_empty(folder.path()));
}
