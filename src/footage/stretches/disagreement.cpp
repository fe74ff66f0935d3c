#include "footage/stretches/disagreement.hpp"

#include <algorithm>
#include <cmath>
#include <complex>

#include "arithmetic/median.hpp"
#include "arithmetic/phase.hpp"

namespace lampbeat::footage::stretches {

namespace {

using Complex = std::complex<double>;
// A lamp does the same in each, what a camera carries past does not.
constexpr std::size_t parts_of_time = 4;
constexpr double fewest_rows = 8.0;  // in a strip and part of the stretch
// Squared deviations of complex noise are exponentially distributed: median over mean.
const double median_of_noise = std::log(2.0);

/// What one frame and strip leaves unexplained down the rows, its mean taken out; NaN in gaps.
void residual_of(const Parts& parts, std::size_t frame, std::size_t strip,
                 std::vector<double>& left) {
  const rows::Cells& cells = parts.cells;
  double sum = 0.0;
  std::size_t known = 0;
  for (std::size_t r = 0; r < cells.rows; ++r) {
    const auto ratio = static_cast<double>(cells.at(frame, r, strip)) /
                       static_cast<double>(parts.scene[r * cells.strips + strip]);
    left[r] = ratio / parts.gain[frame] - 1.0 - parts.pattern.at(frame, r);
    if (std::isnan(left[r])) continue;
    sum += left[r];
    ++known;
  }
  const double mean = known > 0 ? sum / static_cast<double>(known) : 0.0;
  for (double& v : left) v -= mean;
}

/// Deviation of the amplitude in one strip and part of the stretch.
struct Deviation {
  Complex sum;
  double squares = 0.0;
  double count = 0.0;

  Complex amplitude() const { return 2.0 * sum / count; }
  double noise_power() const { return 4.0 * squares / (count * count); }
};

}  // namespace

double disagreement(const Parts& parts, const waves::Wave& wave) {
  const rows::Cells& cells = parts.cells;
  const waves::Harmonic& h = wave.strongest();
  std::vector<Complex> down(cells.rows);
  for (std::size_t r = 0; r < cells.rows; ++r) {
    down[r] = std::polar(1.0, -arithmetic::turn * h.order * wave.bands * cells.scale.place(r));
  }
  std::vector<Deviation> deviations(parts_of_time * cells.strips);
  std::vector<double> left(cells.rows);
  for (std::size_t n = 0; n < cells.frames(); ++n) {
    const Complex back =
        std::polar(1.0, -arithmetic::turn * h.order * wave.roll * static_cast<double>(n));
    const std::size_t part = n * parts_of_time / cells.frames();
    for (std::size_t s = 0; s < cells.strips; ++s) {
      residual_of(parts, n, s, left);
      Deviation& d = deviations[part * cells.strips + s];
      Complex sum = 0.0;
      for (std::size_t r = 0; r < cells.rows; ++r) {
        if (std::isnan(left[r])) continue;
        sum += left[r] * down[r];
        d.squares += left[r] * left[r];
        d.count += 1.0;
      }
      d.sum += back * sum;
    }
  }
  std::vector<double> power;
  std::vector<double> noise;
  for (const Deviation& d : deviations) {
    if (d.count < fewest_rows) continue;
    power.push_back(std::norm(d.amplitude()));
    noise.push_back(d.noise_power());
  }
  if (power.empty()) return 0.0;
  const double beyond = arithmetic::median(power) / median_of_noise - arithmetic::median(noise);
  return std::sqrt(std::max(beyond, 0.0)) / std::abs(h.amplitude);
}

}  // namespace lampbeat::footage::stretches
