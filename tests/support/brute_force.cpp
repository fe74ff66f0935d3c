#include "support/brute_force.hpp"

#include <algorithm>

namespace brute_force {

double mean_light(const Waveform& light, double start_s, double exposure_s, int pieces) {
  // Five-point Gauss-Legendre rule on [-1, 1] (Abramowitz & Stegun, table 25.4).
  constexpr double place[5] = {0.0, 0.538469310105683, -0.538469310105683, 0.906179845938664,
                               -0.906179845938664};
  constexpr double weight[5] = {0.568888888888889, 0.478628670499366, 0.478628670499366,
                                0.236926885056189, 0.236926885056189};
  const double half_s = 0.5 * exposure_s / pieces;
  double sum = 0.0;
  for (int piece = 0; piece < pieces; ++piece) {
    const double middle_s = start_s + half_s * (2 * piece + 1);
    for (int i = 0; i < 5; ++i) sum += weight[i] * light(middle_s + half_s * place[i]);
  }
  return sum / (2.0 * pieces);
}

std::vector<double> frame(const Waveform& light, const Camera& camera, double start_s, int pieces) {
  std::vector<double> rows(static_cast<std::size_t>(camera.rows));
  for (int row = 0; row < camera.rows; ++row) {
    const double row_start_s = start_s + camera.readout_s * row / camera.rows;
    rows[static_cast<std::size_t>(row)] = mean_light(light, row_start_s, camera.exposure_s, pieces);
  }
  return rows;
}

double mean(const std::vector<double>& values) {
  double sum = 0.0;
  for (const double v : values) sum += v;
  return sum / static_cast<double>(values.size());
}

double michelson(const std::vector<double>& values) {
  const auto [low, high] = std::minmax_element(values.begin(), values.end());
  return (*high - *low) / (*high + *low);
}

double worst_banding(const Waveform& light, const Camera& camera,
                     const std::vector<double>& starts_s, int pieces) {
  double worst = 0.0;
  for (const double start_s : starts_s) {
    worst = std::max(worst, michelson(frame(light, camera, start_s, pieces)));
  }
  return worst;
}

double worst_pulsing(const Waveform& light, const Camera& camera,
                     const std::vector<double>& starts_s, int frames, int pieces) {
  double worst = 0.0;
  for (const double start_s : starts_s) {
    std::vector<double> means;
    for (int n = 0; n < frames; ++n) {
      means.push_back(mean(frame(light, camera, start_s + n / camera.fps, pieces)));
    }
    worst = std::max(worst, michelson(means));
  }
  return worst;
}

std::vector<double> starts_over(double span_s, int count) {
  std::vector<double> starts;
  for (int i = 0; i < count; ++i) starts.push_back(span_s * i / count);
  return starts;
}

}  // namespace brute_force
