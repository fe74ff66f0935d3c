#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <filesystem>
#include <string>
#include <vector>

#include "lampbeat/capture.hpp"
#include "lampbeat/meter.hpp"

// What a measurement costs beside the least anybody could do with the same samples: decode them
// and add them up. Prints ratios, judges nothing. Captures are made with the program's own synth
// command, given as the first argument.

namespace {

using namespace lampbeat;

double seconds(const auto& work) {
  const auto start = std::chrono::steady_clock::now();
  work();
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

/// The quickest of three: what disturbs a run only ever slows it down.
double quickest(const auto& work) {
  double best = seconds(work);
  for (int i = 0; i < 2; ++i) best = std::min(best, seconds(work));
  return best;
}

double decode_and_sum(const std::string& path) {
  const auto source = open_capture(path, {});
  double sum = 0.0;
  for (SampleBlock block = source->next(); !block.value.empty(); block = source->next()) {
    for (const double x : block.value) sum += x;
  }
  return sum;
}

struct Capture {
  const char* name;
  const char* recipe;
};

constexpr Capture captures[] = {
    {"ripple, 10 s at 48 kHz", "--mains 50 --rectified 30 --noise 1 --rate 48000 --seconds 10"},
    {"ripple, 60 s at 48 kHz", "--mains 50 --rectified 30 --noise 1 --rate 48000 --seconds 60"},
    {"ripple, 60 s at 192 kHz", "--mains 50 --rectified 30 --noise 1 --rate 192000 --seconds 60"},
    {"chopped ripple, 10 s at 48 kHz",
     "--mains 50 --rectified 30 --pwm 480:0.3 --noise 0.5 --rate 48000 --seconds 10"},
};

}  // namespace

int main(int argc, char** argv) {
  if (argc != 2) {
    fmt::print(stderr, "usage: {} path/to/lampbeat\n", argv[0]);
    return 2;
  }
  const auto folder = std::filesystem::temp_directory_path() / "lampbeat-measure-speed";
  std::filesystem::create_directories(folder);
  volatile double kept = 0.0;
  fmt::print("{:<32} {:>12} {:>12} {:>8}\n", "capture", "decode+sum", "measure", "ratio");
  for (const Capture& capture : captures) {
    const std::string path = (folder / "capture.wav").string();
    const std::string command =
        fmt::format("{} synth {} {} 2>/dev/null", argv[1], path, capture.recipe);
    if (std::system(command.c_str()) != 0) {
      fmt::print(stderr, "could not run: {}\n", command);
      return 1;
    }
    const double least = quickest([&] { kept = kept + decode_and_sum(path); });
    const double whole =
        quickest([&] { kept = kept + measure(*open_capture(path, {}), {}).duration_s; });
    fmt::print("{:<32} {:>9.1f} ms {:>9.1f} ms {:>8.1f}\n", capture.name, 1e3 * least, 1e3 * whole,
               whole / least);
  }
  std::filesystem::remove_all(folder);
  return 0;
}
