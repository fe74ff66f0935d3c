#include "footage/waves/wave_factors.hpp"

#include <vector>

#include "arithmetic/phase.hpp"
#include "footage/waves/slow_modes.hpp"

namespace lampbeat::footage::waves {

namespace {

using Factor = WaveFactors::Factor;

Complex mean_out(Factor& v) {
  const Complex mean = v.mean();
  v.array() -= mean;
  return mean;
}

Factor without_slow(const Factor& v, std::size_t modes) {
  std::vector<double> re(static_cast<std::size_t>(v.size()));
  std::vector<double> im(re.size());
  for (std::size_t n = 0; n < re.size(); ++n) {
    re[n] = v[static_cast<Eigen::Index>(n)].real();
    im[n] = v[static_cast<Eigen::Index>(n)].imag();
  }
  take_out_slow(re, modes);
  take_out_slow(im, modes);
  Factor out(v.size());
  for (std::size_t n = 0; n < re.size(); ++n) out[static_cast<Eigen::Index>(n)] = {re[n], im[n]};
  return out;
}

}  // namespace

WaveFactors factors_of(const Wave& wave, int order, const FitTarget& target) {
  const auto frames = static_cast<Eigen::Index>(target.rows.frames);
  const auto rows = static_cast<Eigen::Index>(target.rows.rows);
  const double middle = 0.5 * static_cast<double>(frames - 1);
  WaveFactors f{Factor(frames), Factor(frames), Factor(rows), Factor(rows), {}, {}, {}, {}};
  for (Eigen::Index n = 0; n < frames; ++n) {
    const double t = static_cast<double>(n) - middle;
    f.time[n] = std::polar(1.0, arithmetic::turn * order * wave.roll * t);
    f.time_by_roll[n] = i_unit * (arithmetic::turn * order * t) * f.time[n];
  }
  const double gain = target.scale.gain(order * wave.bands);
  for (Eigen::Index r = 0; r < rows; ++r) {
    const double y = target.scale.place(static_cast<std::size_t>(r)) - 0.5;
    f.row[r] = std::polar(gain, arithmetic::turn * order * wave.bands * y);
    f.row_by_bands[r] = i_unit * (arithmetic::turn * order * y) * f.row[r];
  }
  f.row_mean = mean_out(f.row);
  f.row_mean_by_bands = mean_out(f.row_by_bands);
  // Frame means need the factors as they are, the rows need them without their means over time.
  if (!target.frame_means.empty()) {
    f.slow_free = without_slow(f.time, target.slow_modes);
    f.slow_free_by_roll = without_slow(f.time_by_roll, target.slow_modes);
  }
  mean_out(f.time);
  mean_out(f.time_by_roll);
  return f;
}

Complex to_middle(const Wave& wave, int order, const FitTarget& target) {
  return std::polar(
      1.0, arithmetic::turn * order *
               (wave.roll * 0.5 * static_cast<double>(target.rows.frames - 1) + wave.bands * 0.5));
}

}  // namespace lampbeat::footage::waves
