#include "signal/tones/sideband_members.hpp"

#include <algorithm>
#include <cmath>
#include <cstdlib>

namespace lampbeat::signal::tones {
namespace {

/// Multiples of the slower rhythm that are looked for to either side: a rectified ripple's sixth is
/// 2/(6² · 4 − 1) = 1.4 % of its level.
constexpr int widest_sideband = 6;
/// Three frequencies were fitted, and each may have been pulled.
constexpr double pulled_lines = 3.0;

/// The line as `order` times the carrier and `width` times the other, if it lies there.
std::optional<lines::TiedLine> as_sideband(const LineField& field, std::size_t line,
                                           const std::vector<GrowingSeries>& series,
                                           const lines::Tie& carrier, const lines::Tie& other) {
  const GrowingSeries& c = series[carrier.fundamental];
  const GrowingSeries& m = series[other.fundamental];
  const double hz = carrier.order * c.hz + other.order * m.hz;
  const double within =
      agreement_sds * std::hypot(field.hz_sd(line), std::hypot(carrier.order * c.hz_sd(),
                                                               std::abs(other.order) * m.hz_sd())) +
      pulled_lines * field.pull_hz();
  if (within > most_of_spacing * std::min(c.hz, m.hz)) return std::nullopt;
  if (std::abs(field.hz(line) - field.seen_hz(hz)) > within) return std::nullopt;
  const int sign = hz > 0.0 ? 1 : -1;
  return lines::TiedLine{carrier.fundamental, sign * carrier.order,
                         lines::Tie{other.fundamental, sign * other.order}};
}

}  // namespace

std::optional<lines::TiedLine> sideband_member(const LineField& field, std::size_t line,
                                               const std::vector<GrowingSeries>& series) {
  for (std::size_t carrier = 0; carrier < series.size(); ++carrier) {
    if (series[carrier].mains) continue;
    for (std::size_t other = 0; other < series.size(); ++other) {
      if (other == carrier) continue;
      const int step = series[other].order_step();
      for (const auto& [order, amplitude] : series[carrier].member_amplitude) {
        if (field.amplitude(line) > amplitude) continue;
        for (int width = step; width <= widest_sideband * step; width += step) {
          for (const int side : {-1, 1}) {
            const auto member =
                as_sideband(field, line, series, {carrier, order}, {other, side * width});
            if (member) return member;
          }
        }
      }
    }
  }
  return std::nullopt;
}

}  // namespace lampbeat::signal::tones
