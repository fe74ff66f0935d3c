#include "signal/lines/tied_waves.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <complex>
#include <cstdint>

#include "arithmetic/phase.hpp"
#include "signal/lines/waves.hpp"
#include "signal/spectrum/fft.hpp"

namespace lampbeat::signal::lines {
namespace {

/// Points in a cycle of the highest multiple: a cubic through four of them is right to
/// 3/128 (2π/64)⁴ of it, two millionths.
constexpr std::size_t points_a_cycle = 64;
constexpr std::size_t fewest_points = 256;
/// A megabyte of cubics; beyond it they would be fetched from afar, and a few lines summed sooner.
constexpr std::size_t most_points = 32768;
/// Fewer lines than this are summed as fast as they are looked up.
constexpr std::size_t fewest_multiples = 3;

/// One turn of a sum of multiples, in cubics between its points.
class Turn {
 public:
  Turn(const std::vector<std::complex<double>>& multiple, std::size_t points) : piece_(points) {
    const std::vector<double> at = spectrum::inverse_transform(multiple, points);
    for (std::size_t i = 0; i < points; ++i) {
      const double before = at[(i + points - 1) % points];
      const double here = at[i];
      const double next = at[(i + 1) % points];
      const double after = at[(i + 2) % points];
      const double half = (before + next) / 2.0 - here;
      const double bend = (after - before) / 6.0 - (next - here) / 2.0;
      piece_[i] = {here, next - here - half - bend, half, bend};
    }
    shift_ = static_cast<unsigned>(64 - std::countr_zero(points));
    share_ = std::ldexp(1.0, -static_cast<int>(shift_));
  }

  /// Phase in 2⁻⁶⁴ of a turn.
  double operator()(std::uint64_t phase) const {
    const std::array<double, 4>& p = piece_[phase >> shift_];
    const auto rest = static_cast<std::int64_t>(phase & ((std::uint64_t{1} << shift_) - 1));
    const double t = static_cast<double>(rest) * share_;
    return p[0] + t * (p[1] + t * (p[2] + t * p[3]));
  }

 private:
  std::vector<std::array<double, 4>> piece_;
  unsigned shift_ = 0;
  double share_ = 0.0;
};

std::size_t points_for(int highest_order) {
  return std::max(fewest_points,
                  std::bit_ceil(points_a_cycle * static_cast<std::size_t>(highest_order)));
}

/// The lines that are multiples of one fundamental and nothing else.
std::vector<std::size_t> multiples_of(const LineModel& model, std::size_t fundamental) {
  std::vector<std::size_t> multiples;
  for (std::size_t i = 0; i < model.lines.size(); ++i) {
    const TiedLine& line = model.lines[i];
    if (!line.beside && line.order > 0 && line.fundamental == fundamental) multiples.push_back(i);
  }
  return multiples;
}

}  // namespace

std::vector<double> tied_waves(std::size_t samples, const LineModel& model,
                               std::span<const double> rates, const LineAmplitudes& at) {
  struct Series {
    Turn turn;
    std::uint64_t first;
    std::uint64_t step;
  };
  const double half = static_cast<double>(samples) / 2.0;
  const double centre = static_cast<double>(samples - 1) / 2.0;
  std::vector<Series> looked_up;
  std::vector<bool> done(model.lines.size());
  for (std::size_t f = 0; f < model.fundamental_hz.size(); ++f) {
    const std::vector<std::size_t> multiples = multiples_of(model, f);
    if (multiples.size() < fewest_multiples) continue;
    int highest = 0;
    for (const std::size_t i : multiples) highest = std::max(highest, model.lines[i].order);
    const std::size_t points = points_for(highest);
    if (points > most_points) continue;
    std::vector<std::complex<double>> multiple(static_cast<std::size_t>(highest) + 1);
    for (const std::size_t i : multiples) {
      multiple[static_cast<std::size_t>(model.lines[i].order)] +=
          std::complex<double>(at.cosine[i], -at.sine[i]) / 2.0;
      done[i] = true;
    }
    const std::size_t any = multiples.front();
    const double turns_a_sample = rates[any] / model.lines[any].order / half / arithmetic::turn;
    looked_up.push_back({Turn(multiple, points),
                         arithmetic::begun_turn_in_whole(-centre * turns_a_sample),
                         arithmetic::begun_turn_in_whole(turns_a_sample)});
  }

  std::vector<double> rate, cosine, sine;
  for (std::size_t i = 0; i < model.lines.size(); ++i) {
    if (done[i]) continue;
    rate.push_back(rates[i]);
    cosine.push_back(at.cosine[i]);
    sine.push_back(at.sine[i]);
  }
  std::vector<double> sum;
  if (rate.empty()) {
    sum.resize(samples);
    for (std::size_t n = 0; n < samples; ++n) {
      sum[n] = at.level + at.slope * ((static_cast<double>(n) - centre) / half);
    }
  } else {
    sum = waves(samples, rate, at.level, at.slope, cosine, sine);
  }
  for (const Series& series : looked_up) {
    std::uint64_t phase = series.first;
    for (double& x : sum) {
      x += series.turn(phase);
      phase += series.step;
    }
  }
  return sum;
}

}  // namespace lampbeat::signal::lines
