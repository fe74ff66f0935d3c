#include "capture/sound/sound_file_writer.hpp"

#include <cmath>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <numbers>
#include <string>

#include "support/catch.hpp"
#include "support/read_all.hpp"
#include "support/scratch.hpp"
#include "support/wav_bytes.hpp"

namespace {

using namespace lampbeat;
using namespace lampbeat::test;

std::vector<double> sine(std::size_t count, double amplitude) {
  std::vector<double> value(count);
  for (std::size_t i = 0; i < count; ++i) {
    value[i] = 0.3 + amplitude * std::sin(2.0 * std::numbers::pi * 120.0 * static_cast<double>(i) /
                                          20000.0);
  }
  return value;
}

std::string written(const std::string& name, capture::sound::SoundFormat format,
                    const std::vector<double>& value) {
  const std::string path = scratch_file(name, "");
  capture::sound::SoundFileWriter writer(path, format, 20000);
  writer.write(std::span<const double>(value).first(value.size() / 3));
  writer.write(std::span<const double>(value).subspan(value.size() / 3));
  writer.close();
  return path;
}

}  // namespace

TEST_CASE("What the writer writes, the reader reads, to the last step") {
  struct Case {
    const char* name;
    capture::sound::SoundFormat format;
    double tolerance;
    const char* kind;
  };
  const std::vector<double> value = sine(20001, 0.2);
  for (const Case& c : {Case{"f.wav", capture::sound::SoundFormat::wav_float, 3e-8,
                             "WAV, 32-bit float, 20000 Hz, channel 1 of 1"},
                        Case{"i.wav", capture::sound::SoundFormat::wav_16, 0.5 / 32768,
                             "WAV, 16-bit, 20000 Hz, channel 1 of 1"},
                        Case{"16.flac", capture::sound::SoundFormat::flac_16, 0.5 / 32768,
                             "FLAC, 16-bit, 20000 Hz, channel 1 of 1"},
                        Case{"24.flac", capture::sound::SoundFormat::flac_24, 0.5 / 8388608,
                             "FLAC, 24-bit, 20000 Hz, channel 1 of 1"}}) {
    INFO(c.name);
    const Reading reading = read_all(written(c.name, c.format, value));
    CHECK(reading.format.kind == c.kind);
    CHECK(reading.format.evenly_sampled);
    CHECK(reading.format.rate_hz == 20000.0);
    CHECK(reading.format.sound_file);
    CHECK(reading.time_s.empty());
    CHECK(reading.findings.empty());
    REQUIRE(reading.value.size() == value.size());
    double worst = 0.0;
    for (std::size_t i = 0; i < value.size(); ++i) {
      worst = std::max(worst, std::abs(reading.value[i] - value[i]));
    }
    CHECK(worst <= c.tolerance * 1.0001);
  }
}

TEST_CASE("Integer files state their step and rails; float files have none") {
  const std::vector<double> value = {-2.0, -1.0, 0.0, 1.0, 2.0};
  const Reading integer =
      read_all(written("rails.wav", capture::sound::SoundFormat::wav_16, value));
  CHECK(integer.format.step == 2.0 / 65536.0);
  CHECK(integer.value.front() == integer.format.rail_low);
  CHECK(integer.value.back() == integer.format.rail_high);
  CHECK(integer.value ==
        std::vector<double>{-1.0, -1.0, 0.0, 1.0 - 1.0 / 32768, 1.0 - 1.0 / 32768});
  const Reading floating =
      read_all(written("no_rails.wav", capture::sound::SoundFormat::wav_float, value));
  CHECK_FALSE(floating.format.step.has_value());
  CHECK_FALSE(floating.format.rail_low.has_value());
  CHECK_FALSE(floating.format.rail_high.has_value());
  CHECK(floating.value == value);
}

TEST_CASE("Equal samples make equal files") {
  const std::vector<double> value = sine(5000, 0.1);
  for (const capture::sound::SoundFormat format :
       {capture::sound::SoundFormat::wav_float, capture::sound::SoundFormat::wav_16,
        capture::sound::SoundFormat::flac_24}) {
    CHECK(contents_of(written("a.bin", format, value)) ==
          contents_of(written("b.bin", format, value)));
  }
}

TEST_CASE("Until it is closed, a written file leaves what stood there alone") {
  const std::string path = scratch_file("standing.wav", "old");
  {
    capture::sound::SoundFileWriter writer(path, capture::sound::SoundFormat::wav_float, 8000);
    writer.write(std::vector<double>(100, 0.5));
    CHECK(contents_of(path) == "old");
  }
  CHECK(contents_of(path) == "old");
  for (const auto& entry :
       std::filesystem::directory_iterator(std::filesystem::path(path).parent_path())) {
    CHECK(entry.path().extension() != ".part");
  }
  CHECK_THROWS_AS(capture::sound::SoundFileWriter("/nowhere/at/all.wav",
                                                  capture::sound::SoundFormat::wav_16, 8000),
                  OutputError);
  CHECK_THROWS_AS(capture::sound::SoundFileWriter(path, capture::sound::SoundFormat::wav_16, 0),
                  UsageError);
  CHECK_THROWS_AS(
      capture::sound::SoundFileWriter(path, capture::sound::SoundFormat::flac_24, 1000000),
      UsageError);
  CHECK(capture::sound::sound_format_for("Kitchen.WAV") == capture::sound::SoundFormat::wav_float);
  CHECK(capture::sound::sound_format_for("a.flac") == capture::sound::SoundFormat::flac_24);
  CHECK_FALSE(capture::sound::sound_format_for("a.csv").has_value());
}

TEST_CASE("Plain WAV bytes are read as the format says") {
  // RIFF/WAVE: 8-bit samples are unsigned around 128, all longer ones are signed, little-endian.
  const auto first = [](const std::string& bytes) {
    return read_all(scratch_file("plain.wav", bytes)).value.front();
  };
  CHECK(first(wav_bytes(1, 8, 1, 8000, std::string("\x40\x80", 2))) == -0.5);
  CHECK(first(wav_bytes(1, 16, 1, 8000, std::string("\x00\x40\x00\x00", 4))) == 0.5);
  CHECK(first(wav_bytes(1, 24, 1, 8000, std::string("\x00\x00\xC0\x00\x00\x00", 6))) == -0.5);
  CHECK(first(wav_bytes(1, 32, 1, 8000, std::string("\x00\x00\x00\x20\x00\x00\x00\x00", 8))) ==
        0.25);
  CHECK(first(wav_bytes(3, 32, 1, 8000, std::string("\x00\x00\x80\x3F\x00\x00\x00\x00", 8))) ==
        1.0);
  CHECK(first(wav_bytes(3, 64, 1, 8000,
                        std::string("\x00\x00\x00\x00\x00\x00\xF0\x3F\0\0\0\0\0\0\0\0", 16))) ==
        1.0);
}

TEST_CASE("A channel is chosen from 1 on, and a silent choice is reported") {
  std::vector<short> frames;
  for (int i = 0; i < 20000; ++i) {
    frames.push_back(static_cast<short>(i % 100));
    frames.push_back(static_cast<short>(-1000 - i % 100));
    frames.push_back(7);
  }
  const std::string path = scratch_file("three.wav", wav_of_shorts(frames, 3, 48000));
  Reading reading = read_all(path);
  REQUIRE(reading.value.size() == 20000);
  CHECK(reading.value[99] == 99.0 / 32768);
  CHECK(reading.message("channel_assumed").find("3 channels") != std::string::npos);
  CaptureOptions options;
  options.channel = 2;
  reading = read_all(path, options);
  CHECK(reading.value[19999] == -1099.0 / 32768);
  CHECK(reading.format.kind == "WAV, 16-bit, 48000 Hz, channel 2 of 3");
  CHECK(reading.findings.empty());
  options.channel = 4;
  CHECK(complaint(path, options).find("UsageError: " + path + ": there is no channel 4") == 0);
  options.channel = 0;
  CHECK(complaint(path, options).find("UsageError") == 0);
  options.channel.reset();
  options.value_column = std::string("2");
  CHECK(complaint(path, options).find("channels, not columns") != std::string::npos);
}

TEST_CASE("A part of a sound file is chosen to the sample") {
  std::vector<short> ramp;
  for (int i = 0; i < 20000; ++i) ramp.push_back(static_cast<short>(i));
  const std::string wav = scratch_file("ramp.wav", wav_of_shorts(ramp, 1, 44100));
  std::vector<double> value;
  for (const short s : ramp) value.push_back(s / 32768.0);
  const std::string flac = written("ramp.flac", capture::sound::SoundFormat::flac_16, value);
  CaptureOptions options;
  options.from_s = 0.1;
  options.for_s = 0.05;
  Reading reading = read_all(wav, options);
  CHECK(reading.value.size() == 2205);
  CHECK(reading.value.front() == 4410.0 / 32768);
  reading = read_all(flac, options);
  CHECK(reading.value.size() == 1000);
  CHECK(reading.value.front() == 2000.0 / 32768);
  options.from_s = 3.0;
  CHECK(complaint(wav, options).find("it ends after 0.453515 s") != std::string::npos);
  CHECK(complaint(flac, options).find("it ends after 1 s") != std::string::npos);
}

TEST_CASE("A rate given beside a sound file is not used, and it is said") {
  const std::string path = scratch_file("own_rate.wav", wav_of_shorts({1, 2, 3, 4}, 1, 48000));
  CaptureOptions options;
  options.rate_hz = 44100.0;
  const Reading reading = read_all(path, options);
  CHECK(reading.format.rate_hz == 48000.0);
  CHECK(reading.has("rate_ignored"));
}

TEST_CASE("A recorder that never completed its header loses nothing") {
  std::vector<short> ramp(5000, 3);
  for (const unsigned length : {0u, 0x7FFFF000u, 0x80000000u, 0xFFFFFFFFu, 0xFFFFFFDBu}) {
    const std::string path = scratch_file("unfinished.wav", wav_of_shorts(ramp, 1, 48000, length));
    CHECK(read_all(path).value.size() == 5000);
  }
}

TEST_CASE("Samples in memory are a capture like any other") {
  const auto even = capture_from_samples("test", {1.0, 2.0, 3.0}, 100.0);
  const Reading evenly = read_all(*even);
  CHECK(evenly.format.evenly_sampled);
  CHECK(evenly.format.rate_hz == 100.0);
  CHECK(evenly.value == std::vector<double>{1.0, 2.0, 3.0});
  const auto timed = capture_from_samples("test", {1.0, 2.0, 3.0}, 0.0, {5.0, 5.1, 5.3});
  const Reading uneven = read_all(*timed);
  CHECK_FALSE(uneven.format.evenly_sampled);
  CHECK(uneven.time_s[0] == 0.0);
  CHECK(uneven.time_s[2] == Approx(0.3));
  CHECK_THROWS_AS(capture_from_samples("test", {1.0}, 0.0), UsageError);
  CHECK_THROWS_AS(capture_from_samples("test", {1.0, 2.0}, 0.0, {0.0}), UsageError);
  CHECK_THROWS_AS(capture_from_samples("test", {1.0, 2.0}, 0.0, {1.0, 0.0}), InputError);
  CHECK_THROWS_AS(capture_from_samples("test", {1.0, NAN}, 1.0), InputError);
}
