// Clips in containers: the same pictures as the YUV4MPEG2 clip they were packed from, with the
// file's own times, turn, range and curve; and what is damaged is named by its frame.

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <random>
#include <string>
#include <vector>

#include "lampbeat/clip.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/footage.hpp"
#include "support/catch.hpp"
#include "support/clip_renderer.hpp"
#include "support/findings.hpp"
#include "support/packed_clips.hpp"
#include "support/scratch.hpp"

using namespace lampbeat;
using namespace lampbeat::test;

namespace {

FilmedScene kitchen() {
  FilmedScene scene;
  scene.light = ripple(120.0, 0.3, 0.05);
  scene.width = 96;
  scene.height = 120;
  scene.seconds = 3.0;
  scene.exposure_s = 1.0 / 400.0;
  scene.noise = 0.01;
  return scene;
}

struct Pictures {
  ClipFormat format;
  std::vector<std::vector<std::uint16_t>> luma;
  std::vector<double> periods;
};

Pictures read(const std::string& path) {
  const auto clip = open_clip(path);
  Pictures all;
  all.format = clip->format();
  while (const auto* luma = clip->next()) {
    all.luma.push_back(*luma);
    if (const auto at = clip->period()) all.periods.push_back(*at);
  }
  return all;
}

std::string filmed(const ScratchFolder& folder, const FilmedScene& scene) {
  FilmedClip clip(scene);
  write_y4m(clip, folder.file("a.y4m"));
  return folder.file("a.y4m");
}

FootageResult measured(const std::string& path, FootageSettings settings = {}) {
  const auto clip = open_clip(path);
  if (clip->format().transfer) settings.transfer = *clip->format().transfer;
  return measure_footage(*clip, nullptr, settings);
}

std::string complaint(const std::string& path) {
  try {
    const auto clip = open_clip(path);
    while (clip->next()) {
    }
  } catch (const InputError& e) {
    return e.what();
  }
  return {};
}

void says(const std::string& text, const std::string& what) {
  CAPTURE(text);
  CHECK(text.find(what) != std::string::npos);
}

/// Within so many of both standard uncertainties.
void agree(std::optional<double> a, std::optional<double> a_sd, std::optional<double> b,
           std::optional<double> b_sd, double sds) {
  REQUIRE(a.has_value());
  REQUIRE(b.has_value());
  CHECK(std::abs(*a - *b) <= sds * std::hypot(a_sd.value_or(0.0), b_sd.value_or(0.0)));
}

}  // namespace

TEST_CASE("a container gives the pictures it was packed from, to the code value") {
  if (!can_pack()) return;
  struct Packing {
    const char* file;
    const char* codec;
    int bits;
  };
  const Packing packings[] = {{"a.mkv", "-c:v ffv1", 8},
                              {"a.avi", "-c:v ffv1", 8},
                              {"a.mp4", "-c:v libx264 -qp 0", 8},
                              {"a.mov", "-c:v libx264 -qp 0 -bf 3", 8},
                              {"a.webm", "-c:v libvpx-vp9 -lossless 1 -deadline realtime", 8},
                              {"a.mkv", "-c:v ffv1", 10},
                              {"b.mp4", "-c:v libx265 -x265-params lossless=1:log-level=none", 10}};
  for (const Packing& p : packings) {
    CAPTURE(p.file, p.codec, p.bits);
    const ScratchFolder folder("containers");
    FilmedScene scene = kitchen();
    scene.seconds = 0.6;
    scene.bits = p.bits;
    if (p.bits == 10) scene.fps = {24000, 1001};
    const std::string source = filmed(folder, scene);
    if (!packed("-i " + source + " " + p.codec + " -strict -1 " + folder.file(p.file))) continue;
    const Pictures plain = read(source);
    const Pictures unpacked = read(folder.file(p.file));
    CHECK(unpacked.format.fps == plain.format.fps);
    CHECK(unpacked.format.bits == plain.format.bits);
    CHECK(unpacked.format.full_range == plain.format.full_range);
    CHECK(unpacked.luma == plain.luma);
    REQUIRE(unpacked.periods.size() == plain.luma.size());
    for (std::size_t n = 0; n < unpacked.periods.size(); ++n) {
      CHECK(unpacked.periods[n] == Approx(static_cast<double>(n)).margin(0.03));
    }
  }
}

TEST_CASE("colours without a luma plane are weighted to luma") {
  if (!can_pack()) return;
  const ScratchFolder folder("containers-rgb");
  FilmedScene scene = kitchen();
  scene.seconds = 0.2;
  scene.full_range = true;
  const std::string source = filmed(folder, scene);
  REQUIRE(
      packed("-i " + source + " -vf format=gray,format=gbrp -c:v ffv1 " + folder.file("a.mkv")));
  const Pictures plain = read(source);
  const Pictures grey = read(folder.file("a.mkv"));
  REQUIRE(grey.luma.size() == plain.luma.size());
  CHECK(grey.format.full_range);
  CHECK(grey.format.bits == 16);
  for (std::size_t i = 0; i < plain.luma[0].size(); i += 7) {
    CHECK(std::abs(grey.luma[0][i] / 257.0 - plain.luma[0][i]) <= 1.0);
  }
}

TEST_CASE("a packed clip measures as the plain one does, within both their uncertainties") {
  if (!can_pack()) return;
  for (const FrameRate fps : {FrameRate{25, 1}, FrameRate{30000, 1001}}) {
    const ScratchFolder folder("containers-lossy");
    FilmedScene scene = kitchen();
    scene.fps = fps;
    scene.light = ripple(fps.numerator == 25 ? 120.0 : 100.0, 0.3, 0.05);
    FootageSettings settings;
    settings.light_hz = scene.light.components[0].hz;
    const std::string source = filmed(folder, scene);
    REQUIRE(packed("-i " + source + " -c:v libx264 -crf 12 " + folder.file("a.mp4")));
    const FootageResult plain = measured(source, settings);
    const FootageResult unpacked = measured(folder.file("a.mp4"), settings);
    CHECK(unpacked.fps == plain.fps);
    CHECK(unpacked.frames == plain.frames);
    agree(unpacked.band_percent, unpacked.band_percent_sd, plain.band_percent,
          plain.band_percent_sd, 3.0);
    agree(unpacked.roll_hz, unpacked.roll_hz_sd, plain.roll_hz, plain.roll_hz_sd, 3.0);
    agree(unpacked.readout_s, unpacked.readout_s_sd, plain.readout_s, plain.readout_s_sd, 3.0);
    CHECK(unpacked.verdict == plain.verdict);
  }
}

TEST_CASE("a clip that players turn is read as the sensor read it, and says so") {
  if (!can_pack()) return;
  const ScratchFolder folder("containers-turned");
  FilmedScene scene = kitchen();
  scene.seconds = 0.4;
  const std::string source = filmed(folder, scene);
  REQUIRE(packed("-i " + source + " -c:v libx264 -qp 0 " + folder.file("a.mp4")));
  const Pictures plain = read(source);
  for (const int degrees : {90, 180, 270}) {
    const std::string turned = folder.file("turned.mp4");
    REQUIRE(packed("-i " + folder.file("a.mp4") +
                   " -c copy -metadata:s:v rotate=" + std::to_string(degrees) + " " + turned));
    const Pictures pictures = read(turned);
    CHECK(pictures.format.height == scene.height);
    CHECK(pictures.luma == plain.luma);
    CHECK(has_finding(open_clip(turned)->findings(), "turned_picture"));
  }
  CHECK(open_clip(folder.file("a.mp4"))->findings().empty());
}

TEST_CASE("a picture stored upright without a tag is doubted") {
  if (!can_pack()) return;
  const ScratchFolder folder("containers-upright");
  FilmedScene scene = kitchen();
  scene.seconds = 0.2;
  scene.height = 160;
  const std::string source = filmed(folder, scene);
  REQUIRE(packed("-i " + source + " -c:v libx264 -qp 0 " + folder.file("a.mp4")));
  CHECK(has_finding(open_clip(folder.file("a.mp4"))->findings(), "stored_upright"));
}

TEST_CASE("range and curve are taken from the file's tags") {
  if (!can_pack()) return;
  const ScratchFolder folder("containers-tags");
  FilmedScene scene = kitchen();
  scene.seconds = 0.2;
  scene.full_range = true;
  const std::string source = filmed(folder, scene);
  struct Tag {
    const char* name;
    Transfer kind;
  };
  for (const Tag& tag : {Tag{"bt709", Transfer::bt709}, Tag{"iec61966-2-1", Transfer::srgb},
                         Tag{"arib-std-b67", Transfer::hlg}, Tag{"smpte2084", Transfer::pq},
                         Tag{"linear", Transfer::linear}}) {
    CAPTURE(tag.name);
    REQUIRE(packed("-i " + source + " -c:v libx264 -qp 0 -pix_fmt yuv420p -color_range pc " +
                   "-color_trc " + std::string(tag.name) + " " + folder.file("a.mp4")));
    const Pictures pictures = read(folder.file("a.mp4"));
    CHECK(pictures.format.full_range);
    REQUIRE(pictures.format.transfer.has_value());
    CHECK(pictures.format.transfer->kind == tag.kind);
  }
}

TEST_CASE("frames whose places the file's times leave empty are counted and measured across") {
  if (!can_pack()) return;
  const ScratchFolder folder("containers-gaps");
  const std::string source = filmed(folder, kitchen());
  FootageSettings settings;
  settings.light_hz = 120.0;
  const FootageResult whole = measured(source, settings);
  for (const char* file : {"a.mp4", "a.mkv"}) {
    CAPTURE(file);
    REQUIRE(packed("-i " + source +
                   " -vf \"select='not(eq(n,20)+eq(n,21)+eq(n,44))'\" -vsync vfr -c:v libx264 "
                   "-qp 0 " +
                   folder.file(file)));
    const FootageResult gaps = measured(folder.file(file), settings);
    CHECK(gaps.frames == whole.frames - 3);
    CHECK(gaps.dropped_frames == 3);
    CHECK(gaps.fps == whole.fps);
    CHECK(has_finding(gaps.warnings, "dropped_frames"));
    agree(gaps.band_percent, gaps.band_percent_sd, whole.band_percent, whole.band_percent_sd, 3.0);
    agree(gaps.roll_hz, gaps.roll_hz_sd, whole.roll_hz, whole.roll_hz_sd, 3.0);
    agree(gaps.readout_s, gaps.readout_s_sd, whole.readout_s, whole.readout_s_sd, 3.0);
  }
}

TEST_CASE("frames that the file itself says were taken unevenly give no roll") {
  if (!can_pack()) return;
  const ScratchFolder folder("containers-uneven");
  const std::string source = filmed(folder, kitchen());
  REQUIRE(packed("-i " + source +
                 " -vf \"settb=1/12800,setpts='(N+0.45*sin(N*N))/25/TB'\" -vsync passthrough "
                 "-enc_time_base 1:12800 -c:v libx264 -qp 0 " +
                 folder.file("a.mkv")));
  FootageSettings settings;
  settings.light_hz = 120.0;
  const FootageResult uneven = measured(folder.file("a.mkv"), settings);
  CHECK(has_finding(uneven.warnings, "uneven_frames"));
  CHECK_FALSE(uneven.roll_hz);
  CHECK_FALSE(uneven.readout_s);
  CHECK_FALSE(uneven.nothing_seen);
  CHECK(uneven.verdict != Verdict::clean);
}

TEST_CASE("slow motion stored at another rate is measured at the rate it was filmed at") {
  if (!can_pack()) return;
  const ScratchFolder folder("containers-slow");
  FilmedScene scene = kitchen();
  scene.fps = {240, 1};
  scene.seconds = 1.0;
  scene.readout_s = 0.0035;
  scene.light = ripple(100.0, 0.3, 0.05);
  const std::string source = filmed(folder, scene);
  const std::string slow =
      "-i " + source + " -vf settb=1/90000,setpts=8*PTS -r 30 -c:v libx264 -qp 0 ";
  REQUIRE(packed(slow + "-movflags use_metadata_tags -metadata com.android.capture.fps=240.0 " +
                 folder.file("tagged.mp4")));
  REQUIRE(packed(slow + folder.file("untagged.mp4")));
  const FootageResult plain = measured(source);
  const FootageResult tagged = measured(folder.file("tagged.mp4"));
  CHECK(tagged.fps == FrameRate{240, 1});
  CHECK(has_finding(tagged.warnings, "capture_rate_tag"));
  REQUIRE(plain.roll_hz.has_value());
  REQUIRE(tagged.roll_hz.has_value());
  CHECK(*tagged.roll_hz == Approx(*plain.roll_hz).margin(1e-6));
  CHECK(measured(folder.file("untagged.mp4")).fps == FrameRate{30, 1});
  FootageSettings told;
  told.fps = FrameRate{240, 1};
  CHECK(*measured(folder.file("untagged.mp4"), told).roll_hz ==
        Approx(*plain.roll_hz).margin(1e-6));
}

TEST_CASE("a clip cut short is named by the frame at which it ends") {
  if (!can_pack()) return;
  const ScratchFolder folder("containers-cut");
  FilmedScene scene = kitchen();
  scene.seconds = 2.0;
  const std::string source = filmed(folder, scene);
  REQUIRE(packed("-i " + source + " -c:v libx264 -qp 0 -bf 0 -movflags +faststart " +
                 folder.file("a.mp4")));
  REQUIRE(packed("-i " + source + " -c:v libx264 -qp 0 -bf 0 " + folder.file("open.mp4")));
  const std::string whole = contents_of(folder.file("a.mp4"));
  const ScratchFile half("half.mp4", whole.substr(0, whole.size() / 2));
  says(complaint(half.path()), "frame ");
  says(complaint(half.path()), "cut short");
  // A container without an index says how long it is.
  REQUIRE(packed("-i " + source + " -c:v ffv1 " + folder.file("a.mkv")));
  const std::string stream = contents_of(folder.file("a.mkv"));
  const ScratchFile early("early.mkv", stream.substr(0, stream.size() / 2));
  const FootageResult ended = measured(early.path());
  CHECK(has_finding(ended.warnings, "ends_early"));
  CHECK(ended.frames < 40);
  const std::string open = contents_of(folder.file("open.mp4"));
  const ScratchFile unclosed("unclosed.mp4", open.substr(0, open.size() / 2));
  says(complaint(unclosed.path()), "never closed");
}

TEST_CASE("interlaced clips in containers are refused too") {
  if (!can_pack()) return;
  const ScratchFolder folder("containers-interlaced");
  FilmedScene scene = kitchen();
  scene.seconds = 0.4;
  const std::string source = filmed(folder, scene);
  REQUIRE(packed("-i " + source + " -c:v mpeg2video -flags +ilme+ildct -top 1 -q:v 2 " +
                 folder.file("a.mkv")));
  says(complaint(folder.file("a.mkv")), "interlaced");
}

TEST_CASE("sound is sent to measure, and what is no recording is refused") {
  if (!can_pack()) return;
  const ScratchFolder folder("containers-sound");
  REQUIRE(packed("-f lavfi -i sine=100:duration=1 -c:a aac " + folder.file("a.m4a")));
  says(complaint(folder.file("a.m4a")), "lampbeat measure");
  // A list of other files is not followed.
  const ScratchFile list("list.ffconcat", "ffconcat version 1.0\nfile /etc/hostname\n");
  CHECK_FALSE(complaint(list.path()).empty());
  const ScratchFile playlist(
      "list.m3u8", "#EXTM3U\n#EXT-X-TARGETDURATION:10\n#EXTINF:9,\nfile:///etc/hostname\n");
  CHECK_FALSE(complaint(playlist.path()).empty());
  const ScratchFile heic("a.heic", std::string("\0\0\0\x18"
                                               "ftypheic\0\0\0\0",
                                               16));
  says(complaint(heic.path()), "HEIC");
}

TEST_CASE("JPEG stills are read as the screen would show them, by rows of the sensor") {
  if (!can_pack()) return;
  const ScratchFolder folder("containers-jpeg");
  FilmedScene scene = kitchen();
  scene.seconds = 0.04;
  scene.full_range = true;
  const std::string source = filmed(folder, scene);
  REQUIRE(packed("-i " + source + " -c:v mjpeg -q:v 1 -pix_fmt yuvj420p -frames:v 1 " +
                 folder.file("a.jpg")));
  const Pictures plain = read(source);
  const Pictures jpeg = read(folder.file("a.jpg"));
  CHECK(jpeg.format.still);
  CHECK(jpeg.format.full_range);
  CHECK_FALSE(jpeg.format.fps);
  REQUIRE(jpeg.luma.size() == 1);
  double off = 0.0;
  for (std::size_t i = 0; i < plain.luma[0].size(); ++i) {
    off += std::abs(static_cast<double>(jpeg.luma[0][i]) - plain.luma[0][i]);
  }
  CHECK(off / static_cast<double>(plain.luma[0].size()) < 1.0);
  // Exif 2.32, tag 274, value 6: to be turned by 90° clockwise.
  const std::string exif(
      "\xFF\xE1\x00\x22"
      "Exif\0\0MM\0\x2A\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0\x06\0\0\0\0\0\0",
      36);
  const std::string bytes = contents_of(folder.file("a.jpg"));
  const ScratchFile turned("turned.jpg", bytes.substr(0, 2) + exif + bytes.substr(2));
  CHECK(read(turned.path()).luma == jpeg.luma);
  CHECK(has_finding(open_clip(turned.path())->findings(), "turned_picture"));
}

TEST_CASE("damaged containers end in frames or in a complaint") {
  if (!can_pack()) return;
  const ScratchFolder folder("containers-damaged");
  FilmedScene scene = kitchen();
  scene.seconds = 0.5;
  scene.width = 32;
  scene.height = 48;
  const std::string source = filmed(folder, scene);
  REQUIRE(packed("-i " + source + " -c:v libx264 -crf 20 -movflags +faststart " +
                 folder.file("a.mp4")));
  REQUIRE(packed("-i " + source + " -c:v ffv1 " + folder.file("a.mkv")));
  REQUIRE(packed("-i " + source + " -c:v mpeg4 " + folder.file("a.avi")));
  REQUIRE(packed("-i " + source + " -c:v mjpeg -frames:v 1 " + folder.file("a.jpg")));
  std::mt19937 random(11);
  int complaints = 0;
  for (const char* file : {"a.mp4", "a.mkv", "a.avi", "a.jpg"}) {
    const std::string good = contents_of(folder.file(file));
    for (int trial = 0; trial < 24; ++trial) {
      std::string bad = good;
      // The header holds what everything else is read by.
      const std::size_t reach =
          trial % 2 == 0 ? std::min<std::size_t>(bad.size(), 1500) : bad.size();
      for (int flip = 0; flip <= trial % 5; ++flip) {
        bad[random() % reach] = static_cast<char>(random() & 255U);
      }
      if (trial % 6 == 5) bad.resize(random() % bad.size());
      const ScratchFile damaged("damaged-clip", bad);
      const std::string text = complaint(damaged.path());
      if (text.empty()) continue;
      ++complaints;
      CHECK(text.find("damaged-clip") != std::string::npos);
    }
  }
  CHECK(complaints > 5);
}
