// What is not known of the recorder's own clock is part of every frequency's uncertainty.

#include <cmath>
#include <functional>

#include <fmt/format.h>

#include "cli/contract.hpp"

using namespace lampbeat::test;

namespace {

double light(double t_s) { return 0.4 + 0.1 * std::cos(2.0 * 3.14159265358979 * 100.01 * t_s); }

std::string table(const std::string& heading, const std::string& time_format, double per_second) {
  std::string text = heading + ",value\n";
  for (int i = 0; i < 20000; ++i) {
    const double t_s = i / 5000.0;
    text += fmt::format(fmt::runtime(time_format), t_s * per_second);
    text += fmt::format(",{:.5f}\n", light(t_s));
  }
  return text;
}

void require_bound(const Json& m, double ppm) {
  CHECK(m["clock_ppm"].get<double>() == Approx(ppm).epsilon(0.2));
  const double of_clock = m["dominant_hz"].get<double>() * ppm * 1e-6 / std::sqrt(3.0);
  CHECK(m["dominant_hz_uncertainty"].get<double>() >= 0.99 * of_clock);
  CHECK(m["dominant_hz_uncertainty"].get<double>() < 1.3 * of_clock);
  const Json& first = m["components"][0];
  CHECK(first["hz_uncertainty"].get<double>() >= 0.99 * of_clock);
}

}  // namespace

TEST_CASE("each kind of recorder has its own clock") {
  const ScratchFolder folder("clocks");
  const std::string sound = folder.file("lamp.wav");
  write_file(sound, wav_of_floats({sampled(light)}, static_cast<unsigned>(sampling_hz)));
  require_bound(answer("measure " + sound), 50.0);
  const std::string seconds = folder.file("seconds.csv");
  write_file(seconds, table("time_s", "{:.6f}", 1.0));
  require_bound(answer("measure " + seconds), 100.0);
  const std::string counted = folder.file("counted.csv");
  write_file(counted, table("time_us", "{:.0f}", 1e6));
  require_bound(answer("measure " + counted), 5000.0);
  for (const std::string& capture : {sound, seconds, counted}) {
    require_bound(answer("measure " + capture + " --clock-ppm 300"), 300.0);
    CHECK(answer("measure " + capture + " --clock-ppm 0")["dominant_hz_uncertainty"].get<double>() <
          1e-3);
  }
  CHECK(run_lampbeat("measure " + sound + " --clock-ppm -1").exit_code == 2);
}
