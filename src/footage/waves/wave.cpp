#include "footage/waves/wave.hpp"
#include "arithmetic/phase.hpp"

#include <algorithm>
#include <cmath>

namespace lampbeat::footage::waves {

const Harmonic& Wave::strongest() const {
  return *std::max_element(harmonics.begin(), harmonics.end(), [](const auto& a, const auto& b) {
    return std::abs(a.amplitude) < std::abs(b.amplitude);
  });
}

clips::Plane pattern_of(const std::vector<Wave>& waves, std::size_t frames, std::size_t rows,
                        const clips::RowScale& scale) {
  clips::Plane pattern(frames, rows);
  std::vector<std::complex<double>> down(rows);
  for (const Wave& wave : waves) {
    for (const Harmonic& h : wave.harmonics) {
      const double gain = scale.gain(h.order * wave.bands);
      for (std::size_t r = 0; r < rows; ++r) {
        down[r] = std::polar(gain, arithmetic::turn * h.order * wave.bands * scale.place(r)) *
                  h.amplitude;
      }
      for (std::size_t n = 0; n < frames; ++n) {
        const auto at =
            std::polar(1.0, arithmetic::turn * h.order * wave.roll * static_cast<double>(n));
        double* out = &pattern.at(n, 0);
        for (std::size_t r = 0; r < rows; ++r) {
          out[r] += at.real() * down[r].real() - at.imag() * down[r].imag();
        }
      }
    }
  }
  return pattern;
}

void make_customary(Wave& wave) {
  if (wave.bands < 0.0) {
    wave.bands = -wave.bands;
    wave.roll = -wave.roll;
    for (Harmonic& h : wave.harmonics) h.amplitude = std::conj(h.amplitude);
  }
  wave.roll -= std::floor(wave.roll + 0.5);
}

}  // namespace lampbeat::footage::waves
