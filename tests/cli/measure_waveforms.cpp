#include "cli/contract.hpp"
#include "support/waveforms.hpp"

// The bar of the measure command: three seconds at 20 kHz without noise give percent flicker within
// 0.35 points, flicker index within 0.004 and the strongest frequency within 4 mHz. The waveforms'
// exact figures come from the definitions in ANSI/IES LS-1 and the CIE e-ILV.

using namespace lampbeat::test;

namespace {

void require_exact_figures(const waveforms::Waveform& shape, double hz) {
  const ScratchFolder folder("waveform");
  const auto phase = [&](double t_s) { return std::fmod(hz * t_s + 0.137, 1.0); };
  write_file(folder.file("a.wav"),
             wav_of_floats({sampled([&](double t_s) { return 0.4 * shape.at(phase(t_s)); })}));
  const Json m = answer("measure " + folder.file("a.wav"));
  INFO(shape.name << " at " << hz << " Hz");
  REQUIRE(m["percent_flicker"].is_number());
  CHECK(std::abs(m["percent_flicker"].get<double>() - shape.percent_flicker) < 0.35);
  CHECK(std::abs(m["flicker_index"].get<double>() - shape.flicker_index) < 0.004);
  CHECK(std::abs(m["dominant_hz"].get<double>() - hz) < 0.004);
}

}  // namespace

TEST_CASE("measure finds the closed-form figures of sines at any frequency") {
  for (const double hz : {100.0, 97.3, 120.03, 487.7}) {
    require_exact_figures(waveforms::sine(0.3), hz);
    require_exact_figures(waveforms::sine(1.0), hz);
  }
}

TEST_CASE("measure finds the closed-form figures of square and rectified waves") {
  for (const double hz : {100.0, 119.9, 240.06}) {
    require_exact_figures(waveforms::rectangle(0.5, 0.0), hz);
    require_exact_figures(waveforms::rectangle(0.5, 0.5), hz);
    require_exact_figures(waveforms::rectified(0.0), hz);
    require_exact_figures(waveforms::rectified(0.5), hz);
  }
}

TEST_CASE("measure finds the closed-form figures of PWM dimmers from 5 to 90 % duty") {
  for (const double duty : {0.05, 0.25, 0.75, 0.9}) {
    for (const double hz : {120.03, 487.7, 1234.5}) {
      require_exact_figures(waveforms::rectangle(duty, 0.0), hz);
    }
  }
}
