#include <fcntl.h>
#include <signal.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <cstring>
#include <functional>
#include <mutex>
#include <numbers>
#include <string>
#include <thread>
#include <utility>
#include <vector>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "support/catch.hpp"
#include "support/places.hpp"
#include "support/run_program.hpp"
#include "support/scratch.hpp"

// `measure - --live`, fed by a slow producer: what it says comes while the samples do.

using namespace lampbeat::test;

namespace {

using Clock = std::chrono::steady_clock;

struct Said {
  double at_s = 0.0;  ///< since the start
  std::string line;
};

/// The program with pipes to its standard input and output.
class LiveProgram {
 public:
  explicit LiveProgram(std::vector<std::string> arguments, const char* errors = "/dev/null") {
    arguments.insert(arguments.begin(), {places::program(), "measure", "-", "--live"});
    std::vector<char*> argv;
    for (std::string& a : arguments) argv.push_back(a.data());
    argv.push_back(nullptr);
    int in[2] = {-1, -1};
    int out[2] = {-1, -1};
    REQUIRE(pipe2(in, O_CLOEXEC) == 0);
    REQUIRE(pipe2(out, O_CLOEXEC) == 0);
    posix_spawn_file_actions_t ends;
    posix_spawn_file_actions_init(&ends);
    posix_spawn_file_actions_adddup2(&ends, in[0], 0);
    posix_spawn_file_actions_adddup2(&ends, out[1], 1);
    posix_spawn_file_actions_addopen(&ends, 2, errors, O_WRONLY | O_CREAT | O_TRUNC, 0600);
    REQUIRE(posix_spawn(&child_, places::program().c_str(), &ends, nullptr, argv.data(), environ) ==
            0);
    posix_spawn_file_actions_destroy(&ends);
    ::close(in[0]);
    ::close(out[1]);
    into_ = in[1];
    from_ = out[0];
    reader_ = std::thread([this] { read_all(); });
  }
  ~LiveProgram() {
    if (child_ > 0) kill(child_, SIGKILL);
    end();
    ::close(from_);
  }

  double now_s() const { return std::chrono::duration<double>(Clock::now() - begin_).count(); }
  bool write(const std::string& bytes) {
    return ::write(into_, bytes.data(), bytes.size()) == static_cast<ssize_t>(bytes.size());
  }
  void interrupt() { kill(child_, SIGINT); }
  pid_t id() const { return child_; }
  /// Waits for its end, and says with what code it came.
  int wait() {
    int status = 0;
    if (child_ > 0) waitpid(child_, &status, 0);
    child_ = 0;
    return WIFSIGNALED(status) ? 128 + WTERMSIG(status) : WEXITSTATUS(status);
  }
  /// No more comes.
  int end() {
    if (into_ >= 0) ::close(std::exchange(into_, -1));
    const int code = wait();
    if (reader_.joinable()) reader_.join();
    return code;
  }
  std::vector<Said> said() {
    const std::lock_guard lock(in_use_);
    return said_;
  }

 private:
  void read_all() {
    std::string line;
    char byte = 0;
    while (::read(from_, &byte, 1) == 1) {
      if (byte != '\n') {
        line += byte;
        continue;
      }
      const std::lock_guard lock(in_use_);
      said_.push_back({now_s(), std::exchange(line, {})});
    }
  }

  Clock::time_point begin_ = Clock::now();
  pid_t child_ = 0;
  int into_ = -1;
  int from_ = -1;
  std::thread reader_;
  std::mutex in_use_;
  std::vector<Said> said_;
};

double light(std::int64_t i, double rate_hz) {
  return 0.5 + 0.2 * std::sin(2.0 * std::numbers::pi * 100.0 * static_cast<double>(i) / rate_hz);
}

/// Samples as they would come from a recorder, in pieces of twenty milliseconds.
void feed(LiveProgram& program, double rate_hz, double seconds,
          const std::function<std::string(std::int64_t)>& sample) {
  const double begin_s = program.now_s();
  for (std::int64_t i = 0; static_cast<double>(i) < seconds * rate_hz;) {
    const double come = std::min(seconds, program.now_s() - begin_s) * rate_hz;
    std::string bytes;
    for (; static_cast<double>(i) < come; ++i) bytes += sample(i);
    if (!bytes.empty() && !program.write(bytes)) return;
    std::this_thread::sleep_for(std::chrono::milliseconds(20));
  }
}

template <typename Number>
std::string little_endian(Number number) {
  std::string bytes(sizeof number, '\0');
  std::memcpy(bytes.data(), &number, sizeof number);
  return bytes;
}

/// The header of a WAV whose length its writer does not know.
std::string endless_wav(std::uint32_t rate) {
  return "RIFF" + little_endian<std::uint32_t>(0x80000024) + "WAVEfmt " +
         little_endian<std::uint32_t>(16) + little_endian<std::uint16_t>(1) +
         little_endian<std::uint16_t>(1) + little_endian(rate) + little_endian(2 * rate) +
         little_endian<std::uint16_t>(2) + little_endian<std::uint16_t>(16) + "data" +
         little_endian<std::uint32_t>(0x80000000);
}

/// Readings come every half second, soon after their last sample, and say what the light does.
void check_readings(const std::vector<Said>& said, double begin_s, double seconds) {
  std::vector<nlohmann::json> readings;
  for (const Said& one : said) {
    const nlohmann::json document = nlohmann::json::parse(one.line);
    if (document["schema"] != "lampbeat.live/1") continue;
    INFO(one.line);
    CHECK(one.at_s - begin_s - document["at_s"].get<double>() < 1.0);
    CHECK(std::abs(document["dominant_hz"].get<double>() - 100.0) < 0.2);
    const double sd = document["percent_flicker_uncertainty"].get<double>();
    CHECK(std::abs(document["percent_flicker"].get<double>() - 40.0) < 3.0 * sd + 0.3);
    CHECK(document["clipped"] == false);
    CHECK(document["mean"].get<double>() > 0.0);
    readings.push_back(document);
  }
  // Half as many where the machine is slow.
  CHECK(static_cast<double>(readings.size()) >= seconds);
}

}  // namespace

TEST_CASE("a live stream is read while it comes, and its end brings the whole result") {
  SECTION("WAV of unknown length") {
    LiveProgram program({"--json"});
    REQUIRE(program.write(endless_wav(2050)));
    const double begin_s = program.now_s();
    feed(program, 2050, 3.0, [](std::int64_t i) {
      return little_endian(static_cast<std::int16_t>(32000.0 * light(i, 2050)));
    });
    CHECK(program.end() == 0);
    check_readings(program.said(), begin_s, 3.0);
    const auto whole = nlohmann::json::parse(program.said().back().line);
    CHECK(whole["schema"] == "lampbeat.measure/1");
    CHECK(whole["samples"] == 6150);
  }
  SECTION("a table with times") {
    LiveProgram program({"--json"});
    REQUIRE(program.write("time_s,light\n"));
    const double begin_s = program.now_s();
    feed(program, 1730, 2.5, [](std::int64_t i) {
      return fmt::format("{:.6f},{:.5f}\n", static_cast<double>(i) / 1730, light(i, 1730));
    });
    CHECK(program.end() == 0);
    check_readings(program.said(), begin_s, 2.5);
  }
  SECTION("a table whose clock counts whole milliseconds") {
    LiveProgram program({"--json"});
    REQUIRE(program.write("time_ms,light\n"));
    const double begin_s = program.now_s();
    feed(program, 1730, 2.5, [](std::int64_t i) {
      return fmt::format("{},{:.5f}\n", i * 1000 / 1730, light(i, 1730));
    });
    CHECK(program.end() == 0);
    check_readings(program.said(), begin_s, 2.5);
  }
  SECTION("numbers alone, at a given rate") {
    LiveProgram program({"--json", "--rate", "1730"});
    const double begin_s = program.now_s();
    feed(program, 1730, 2.5,
         [](std::int64_t i) { return fmt::format("{:.5f}\n", light(i, 1730)); });
    CHECK(program.end() == 0);
    check_readings(program.said(), begin_s, 2.5);
  }
}

TEST_CASE("Ctrl-C ends a live stream with what was measured, though nothing more comes") {
  LiveProgram program({"--json", "--limit", "10"});
  REQUIRE(program.write("time_s,light\n"));
  feed(program, 1730, 1.6, [](std::int64_t i) {
    return fmt::format("{:.6f},{:.5f}\n", static_cast<double>(i) / 1730, light(i, 1730));
  });
  REQUIRE(program.write("1.700000,0.1"));  // a row that was not yet whole
  std::this_thread::sleep_for(std::chrono::milliseconds(300));
  const double begin_s = program.now_s();
  program.interrupt();
  CHECK(program.wait() == 1);  // done, over the limit
  CHECK(program.now_s() - begin_s < 5.0);
  program.end();
  const auto whole = nlohmann::json::parse(program.said().back().line);
  CHECK(whole["schema"] == "lampbeat.measure/1");
  CHECK(whole["samples"] == 2768);
  CHECK(std::abs(whole["percent_flicker"].get<double>() - 40.0) < 0.5);
}

TEST_CASE("a recording interrupted before its first samples is too short to measure") {
  const ScratchFolder folder("live_nothing");
  LiveProgram program({"--json"}, folder.file("said.txt").c_str());
  REQUIRE(program.write("time_s,light\n"));
  std::this_thread::sleep_for(std::chrono::milliseconds(300));
  program.interrupt();
  CHECK(program.wait() == 3);
  program.end();
  CHECK(program.said().empty());
  CHECK(contents_of(folder.file("said.txt")).find("standard input") != std::string::npos);
}

TEST_CASE("without a terminal, readings are lines of text before the result") {
  const ScratchFolder folder("live_text");
  const std::string wav = folder.file("a.wav");
  REQUIRE(run_lampbeat("synth '" + wav + "' --component 120:30 --seconds 3 --rate 8000 --seed 5")
              .exit_code == 0);
  const auto live = run_lampbeat("measure '" + wav + "' --live");
  const auto plain = run_lampbeat("measure '" + wav + "'");
  CHECK(live.exit_code == 0);
  const std::size_t result = live.out.find(plain.out);
  REQUIRE(result != std::string::npos);
  const std::string readings = live.out.substr(0, result);
  CHECK(std::count(readings.begin(), readings.end(), '\n') >= 3);
  CHECK(readings.find(" at 120 Hz, mean ") != std::string::npos);
}

TEST_CASE("a live reading tells a light that is too bright or too dark for the recorder") {
  const auto first_reading = [](double scale) {
    LiveProgram program({"--json"});
    REQUIRE(program.write(endless_wav(2050)));
    std::string samples;
    for (int i = 0; i < 2500; ++i) {
      samples += little_endian(
          static_cast<std::int16_t>(std::min(32767.0, std::round(scale * light(i, 2050)))));
    }
    REQUIRE(program.write(samples));
    program.end();
    return nlohmann::json::parse(program.said().front().line);
  };
  const auto fine = first_reading(32000.0);
  CHECK(fine["clipped"] == false);
  CHECK(fine["too_dark"] == false);
  CHECK(std::abs(fine["level"].get<double>() - 0.7 * 32000.0 / 32767.0) < 0.01);
  const auto bright = first_reading(60000.0);
  CHECK(bright["clipped"] == true);
  CHECK(bright["percent_flicker"].is_null());
  CHECK(bright["level"] == 1.0);
  const auto dark = first_reading(30.0);
  CHECK(dark["too_dark"] == true);
  CHECK(dark["level"].get<double>() < 0.001);
}

TEST_CASE("an endless stream is read in bounded memory") {
  // AddressSanitizer keeps what was given back for a while, which is not the program's doing.
  const char* const given = std::getenv("ASAN_OPTIONS");
  setenv("ASAN_OPTIONS", (std::string(given ? given : "") + ":quarantine_size_mb=1").c_str(), 1);
  // The most that was resident at any time, in kilobytes.
  const auto resident_kb = [](int blocks) {
    LiveProgram program({"--json"});
    REQUIRE(program.write(endless_wav(48000)));
    std::string block;
    for (int i = 0; i < 48000; ++i) {
      block += little_endian(static_cast<std::int16_t>(32000.0 * light(i, 48000)));
    }
    for (int k = 0; k < blocks; ++k) REQUIRE(program.write(block));
    std::ifstream status(fmt::format("/proc/{}/status", program.id()));
    long peak_kb = 0;
    for (std::string word; status >> word;) {
      if (word == "VmHWM:") status >> peak_kb;
    }
    CHECK(program.end() == 0);
    return peak_kb;
  };
  const long short_kb = resident_kb(10);
  const long long_kb = resident_kb(40);
  REQUIRE(short_kb > 0);
  CHECK(long_kb < short_kb + 6000);  // thirty seconds more are 2.9 MB of bytes, 11.5 as doubles
}

TEST_CASE("a live reading takes one capture at a time") {
  CHECK(run_lampbeat("measure a.wav b.wav --live").exit_code == 2);
}
