// Containers as people have them: nothing is loaded for them before one is opened, what cannot be
// opened is met with what to do, sound goes to `measure` and clips to `footage`.

#include <cmath>
#include <nlohmann/json.hpp>
#include <string>

#include "support/catch.hpp"
#include "support/packed_clips.hpp"
#include "support/places.hpp"
#include "support/run_program.hpp"

using namespace lampbeat::test;
using nlohmann::json;

namespace {

const std::string program = places::program();

void says(const std::string& text, const std::string& what) {
  CAPTURE(text);
  CHECK(text.find(what) != std::string::npos);
}

std::string practice_clip(const ScratchFolder& folder) {
  const std::string path = folder.file("a.y4m");
  REQUIRE(run_lampbeat("synth " + path +
                       " --mains 60 --component 120:40 --fps 25 --shutter 1/400 --readout 16ms "
                       "--rows 180 --noise 1 --seconds 3")
              .exit_code == 0);
  return path;
}

std::string practice_sound(const ScratchFolder& folder) {
  const std::string path = folder.file("a.wav");
  REQUIRE(run_lampbeat("synth " + path + " --mains 50 --component 100:40 --component 200:8 " +
                       "--rate 48000 --seconds 3 --noise 0.2")
              .exit_code == 0);
  return path;
}

json measured(const std::string& arguments) {
  const RunResult run = run_lampbeat("measure --json " + arguments);
  INFO(run.err);
  REQUIRE(run.exit_code == 0);
  return json::parse(run.out);
}

bool has_warning(const json& result, const std::string& code) {
  for (const json& warning : result["warnings"]) {
    if (warning["code"] == code) return true;
  }
  return false;
}

}  // namespace

TEST_CASE("no command loads what opens containers before there is one") {
  CHECK(run_command("LD_TRACE_LOADED_OBJECTS=1 " + program).out.find("libav") == std::string::npos);
  const ScratchFolder folder("cli-containers-loaded");
  const std::string clip = practice_clip(folder);
  const RunResult plain = run_command("LD_DEBUG=files " + program + " footage " + clip);
  says(plain.err, "libc.so");  // the trace shows libraries at all
  CHECK(plain.err.find("libav") == std::string::npos);
  if (!can_pack() || !packed("-i " + clip + " -c:v ffv1 " + folder.file("a.mkv"))) return;
  says(run_command("LD_DEBUG=files " + program + " footage " + folder.file("a.mkv")).err, "libav");
}

TEST_CASE("without the module, containers are met with the line that pipes them in") {
  const ScratchFile mp4("a.mp4", std::string("\0\0\0\x18"
                                             "ftypmp42\0\0\0\0",
                                             16));
  const ScratchFile mkv("a.mkv", "\x1A\x45\xDF\xA3 matroska");
  const ScratchFile jpeg("a.jpg", "\xFF\xD8\xFF\xE0 picture");
  const std::string without = "LAMPBEAT_CONTAINERS=/nowhere " + program;
  for (const ScratchFile* file : {&mp4, &mkv, &jpeg}) {
    const RunResult run = run_command(without + " footage " + file->path());
    CHECK(run.exit_code == 3);
    says(run.err, "ffmpeg -v error -noautorotate -i " + file->path() + " -f yuv4mpegpipe");
    says(run.err, "libavformat-dev");
  }
  const RunResult sound = run_command(without + " measure " + mp4.path());
  CHECK(sound.exit_code == 3);
  says(sound.err, "| lampbeat measure -");
  says(sound.err, "libavformat-dev");
}

TEST_CASE("a clip in a container gives the figures of the piped clip") {
  if (!can_pack()) return;
  const ScratchFolder folder("cli-containers-clip");
  const std::string clip = practice_clip(folder);
  REQUIRE(packed("-i " + clip + " -c:v libx264 -crf 18 " + folder.file("a.mp4")));
  const RunResult direct = run_lampbeat("footage --json --light-hz 120 " + folder.file("a.mp4"));
  const RunResult piped = run_command("ffmpeg -v error -noautorotate -i " + folder.file("a.mp4") +
                                      " -f yuv4mpegpipe -strict -1 - | " + program +
                                      " footage --json --light-hz 120 -");
  INFO(direct.err);
  REQUIRE(direct.exit_code == 0);
  json a = json::parse(direct.out);
  json b = json::parse(piped.out);
  a.erase("clip");
  b.erase("clip");
  CHECK(a == b);
  // Read from standard input, which cannot be searched.
  REQUIRE(packed("-i " + folder.file("a.mp4") + " -c copy " + folder.file("a.mkv")));
  const RunResult stream =
      run_command("cat " + folder.file("a.mkv") + " | " + program + " footage --json -");
  INFO(stream.err);
  CHECK(stream.exit_code == 0);
}

TEST_CASE("a lossless sound container measures as the WAV it was made from") {
  if (!can_pack()) return;
  const ScratchFolder folder("cli-containers-lossless");
  // Sixteen bits, which all of these keep.
  const std::string wav = folder.file("b.wav");
  REQUIRE(packed("-i " + practice_sound(folder) + " -c:a pcm_s16le " + wav));
  const json plain = measured(wav);
  for (const char* file : {"a.m4a -c:a alac", "a.mkv -c:a flac", "a.mov -c:a pcm_s16le"}) {
    CAPTURE(file);
    const std::string name = std::string(file).substr(0, 5);
    REQUIRE(packed("-i " + wav + std::string(file).substr(5) + " " + folder.file(name)));
    const json same = measured(folder.file(name));
    CHECK(same["samples"] == plain["samples"]);
    CHECK(same["dominant_hz"] == plain["dominant_hz"]);
    CHECK(same["percent_flicker"] == plain["percent_flicker"]);
    CHECK_FALSE(has_warning(same, "lossy_sound"));
  }
}

TEST_CASE("lossy sound is measured, warned of, and right in its frequency") {
  if (!can_pack()) return;
  const ScratchFolder folder("cli-containers-lossy");
  const std::string wav = practice_sound(folder);
  // As a sound card records it: without its mean.
  for (const char* file : {"a.m4a -c:a aac", "a.mp3 -c:a libmp3lame", "a.ogg -c:a libvorbis",
                           "a.opus -c:a libopus", "a.aac -c:a aac"}) {
    CAPTURE(file);
    const std::string text = file;
    const std::string name = text.substr(0, text.find(' '));
    if (!packed("-i " + wav + " -af highpass=f=5 -b:a 128k" + text.substr(name.size()) + " " +
                folder.file(name)))
      continue;
    const json lossy = measured(folder.file(name) + " --from 0.5");
    CHECK(has_warning(lossy, "lossy_sound"));
    CHECK(has_warning(lossy, "no_dc_level"));
    CHECK(lossy["percent_flicker"].is_null());
    REQUIRE(lossy["dominant_hz"].is_number());
    const double off = std::abs(lossy["dominant_hz"].get<double>() - 100.0);
    CHECK(off <= 3.0 * lossy["dominant_hz_uncertainty"].get<double>());
  }
  CHECK(run_lampbeat("measure " + folder.file("a.m4a") + " --channel 2").exit_code == 2);
  CHECK(run_lampbeat("measure " + folder.file("a.m4a") + " --from 60").exit_code == 3);
  CHECK(measured(folder.file("a.m4a") + " --from 1 --for 1")["samples"] == 48000);
}

TEST_CASE("clips and sound are sent to the command that measures them") {
  if (!can_pack()) return;
  const ScratchFolder folder("cli-containers-sent");
  const std::string clip = practice_clip(folder);
  const std::string wav = practice_sound(folder);
  REQUIRE(packed("-i " + clip + " -i " + wav + " -c:v libx264 -c:a aac " + folder.file("a.mp4")));
  REQUIRE(packed("-i " + wav + " -c:a aac " + folder.file("a.m4a")));
  const RunResult video = run_lampbeat("measure " + folder.file("a.mp4"));
  CHECK(video.exit_code == 3);
  says(video.err, "lampbeat footage");
  const RunResult sound = run_lampbeat("footage " + folder.file("a.m4a"));
  CHECK(sound.exit_code == 3);
  says(sound.err, "lampbeat measure");
  // A cover beside the sound makes no clip of it.
  REQUIRE(
      packed("-i " + wav + " -i " + clip +
             " -map 0:a -map 1:v -frames:v 1 -c:a alac -c:v png -disposition:v:0 attached_pic " +
             folder.file("cover.m4a")));
  CHECK(run_lampbeat("measure " + folder.file("cover.m4a")).exit_code == 0);
  // Its sound does not disturb a clip.
  CHECK(run_lampbeat("footage " + folder.file("a.mp4")).exit_code == 0);
}
