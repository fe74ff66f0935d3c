// Pipes cannot seek, and a live one ends whenever its recorder is stopped.

#include <unistd.h>

#include <algorithm>
#include <cstdio>
#include <fstream>
#include <iterator>

#include <string>
#include <thread>

#include <fmt/format.h>

#include "capture/sound/sound_file.hpp"
#include "capture/sound/sound_file_writer.hpp"
#include "capture/table/text_table.hpp"
#include "capture/unreadable.hpp"
#include "files/byte_source.hpp"
#include "support/catch.hpp"
#include "support/read_all.hpp"
#include "support/scratch.hpp"
#include "support/wav_bytes.hpp"

namespace {

using namespace lampbeat;
using namespace lampbeat::test;

/// A pipe that another thread fills, in pieces of awkward sizes.
class FilledPipe {
 public:
  FilledPipe(std::string bytes, std::size_t piece) {
    REQUIRE(::pipe(ends_) == 0);
    filler_ = std::thread([this, text = std::move(bytes), piece] {
      for (std::size_t at = 0; at < text.size(); at += piece) {
        const std::size_t count = std::min(piece, text.size() - at);
        if (::write(ends_[1], text.data() + at, count) != static_cast<ssize_t>(count)) break;
      }
      ::close(ends_[1]);
    });
  }
  ~FilledPipe() {
    drain();  // so that the filler can end
    filler_.join();
    ::close(ends_[0]);
  }
  int descriptor() const { return ends_[0]; }
  /// How many bytes the reader left.
  std::size_t drain() {
    char rest[4096];
    std::size_t left = 0;
    for (ssize_t n = 0; (n = ::read(ends_[0], rest, sizeof rest)) > 0;) {
      left += static_cast<std::size_t>(n);
    }
    return left;
  }

 private:
  int ends_[2] = {-1, -1};
  std::thread filler_;
};

Reading read_sound(const std::string& bytes, std::size_t piece,
                   const CaptureOptions& options = {}) {
  FilledPipe pipe(bytes, piece);
  return read_all(*capture::sound::open_sound_file(
      files::ByteSource(pipe.descriptor(), "pipe", capture::unreadable_capture), options));
}

/// Why sound through a pipe was refused.
std::string refusal(const std::string& bytes) {
  try {
    read_sound(bytes, 4096);
  } catch (const InputError& error) {
    return error.what();
  }
  return "read without complaint";
}

Reading read_table(const std::string& bytes, std::size_t piece,
                   const CaptureOptions& options = {}) {
  FilledPipe pipe(bytes, piece);
  return read_all(*capture::table::open_text_table(
      files::ByteSource(pipe.descriptor(), "pipe", capture::unreadable_capture), options));
}

std::vector<short> ramp(int count) {
  std::vector<short> samples;
  for (int i = 0; i < count; ++i) samples.push_back(static_cast<short>(i % 30000));
  return samples;
}

}  // namespace

TEST_CASE("A WAV through a pipe gives the samples of the file") {
  const std::string wav = wav_of_shorts(ramp(50000), 1, 48000);
  const Reading file = read_all(scratch_file("piped.wav", wav));
  for (const std::size_t piece : {std::size_t{1009}, std::size_t{60000}}) {
    const Reading piped = read_sound(wav, piece);
    CHECK(piped.value == file.value);
    CHECK(piped.format.kind == file.format.kind);
    CHECK(piped.format.step == file.format.step);
  }
}

TEST_CASE("A live WAV of unknown length ends where the pipe ends") {
  for (const unsigned length : {0u, 0x7FFFF000u, 0x80000000u, 0xFFFFFFFFu}) {
    CHECK(read_sound(wav_of_shorts(ramp(30000), 1, 48000, length), 4097).value.size() == 30000);
  }
}

TEST_CASE("What follows the samples of a piped WAV is not taken for samples") {
  const std::string wav =
      wav_of_shorts(ramp(1000), 1, 48000) + "LIST" + little_endian(8, 4) + "INFOabcd";
  CHECK(read_sound(wav, 4096).value.size() == 1000);
}

TEST_CASE("A piped WAV that breaks its promise is cut off") {
  const std::string message = refusal(wav_of_shorts(ramp(1000), 1, 48000, 4000));
  INFO(message);
  CHECK(message.find("promises 4000 bytes") != std::string::npos);
  CHECK(message.find("sample 1000") != std::string::npos);
}

TEST_CASE("A part of a piped WAV is chosen to the sample, and the rest is left unread") {
  CaptureOptions options;
  options.from_s = 0.25;
  options.for_s = 0.25;
  options.channel = 2;
  std::vector<short> frames;
  for (int i = 0; i < 96000; ++i) {
    frames.push_back(-1);
    frames.push_back(static_cast<short>(i % 30000));
  }
  FilledPipe pipe(wav_of_shorts(frames, 2, 48000, 0), 8191);
  const Reading reading = read_all(*capture::sound::open_sound_file(
      files::ByteSource(pipe.descriptor(), "pipe", capture::unreadable_capture), options));
  CHECK(reading.value.size() == 12000);
  CHECK(reading.value.front() == 12000.0 / 32768);
  // 24000 of 96000 frames were needed; a reader may be a block or two ahead.
  CHECK(pipe.drain() > 4 * (96000 - 24000) / 2);
}

TEST_CASE("A FLAC through a pipe gives the samples of the file") {
  std::vector<double> value;
  for (const short s : ramp(40000)) value.push_back(s / 32768.0);
  const std::string path = scratch_file("piped.flac", "");
  capture::sound::SoundFileWriter writer(path, capture::sound::SoundFormat::flac_16, 48000);
  writer.write(value);
  writer.close();
  CHECK(read_sound(contents_of(path), 5003).value == value);
}

TEST_CASE("Sound that needs seeking is refused from a pipe, with the way out") {
  const std::string aiff = "FORM" + std::string("\0\0\0\x40", 4) + "AIFF" + std::string(60, '\0');
  const std::string message = refusal(aiff);
  INFO(message);
  CHECK(message.find("AIFF") != std::string::npos);
  CHECK(message.find("save it to a file first") != std::string::npos);
}

TEST_CASE("A table through a pipe gives the rows of the file, however it is cut into pieces") {
  std::string text = "time_us;light\r\n";
  for (int i = 0; i < 3000; ++i) text += fmt::format("{};{},{}\r\n", i * 500, i % 97, i % 10);
  const Reading file = read_all(scratch_file("piped.csv", text));
  REQUIRE(file.value.size() == 3000);
  for (const std::size_t piece : {std::size_t{7}, std::size_t{1000}, std::size_t{65536}}) {
    const Reading piped = read_table(text, piece);
    CHECK(piped.value == file.value);
    CHECK(piped.time_s == file.time_s);
  }
}

TEST_CASE("A piped table is handed over before its end") {
  int ends[2] = {-1, -1};
  REQUIRE(::pipe(ends) == 0);
  std::string text = "time_us,light\n";
  for (int i = 0; i < 1000; ++i) text += fmt::format("{},{}\n", i * 500, i);
  REQUIRE(::write(ends[1], text.data(), text.size()) == static_cast<ssize_t>(text.size()));
  const auto source = capture::table::open_text_table(
      files::ByteSource(ends[0], "pipe", capture::unreadable_capture), {});
  CHECK(source->next().value.size() == 512);  // the pipe is still open, with the rest in it
  ::close(ends[1]);
  CHECK(source->next().value.size() == 488);
  CHECK(source->next().value.empty());
  ::close(ends[0]);
}

TEST_CASE("Standard input redirected from the middle of a file is read from there") {
  const std::string path = scratch_file("middle.csv", "note for me\n0,1\n0.001,2\n0.002,3\n");
  std::FILE* file = std::fopen(path.c_str(), "rb");
  REQUIRE(file);
  REQUIRE(::lseek(::fileno(file), 12, SEEK_SET) == 12);
  const Reading reading = read_all(*capture::table::open_text_table(
      files::ByteSource(::fileno(file), "input", capture::unreadable_capture), {}));
  CHECK(reading.value == std::vector<double>{1, 2, 3});
  std::fclose(file);
}
