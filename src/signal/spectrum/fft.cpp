#include "signal/spectrum/fft.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <memory>
#include <mutex>
#include <utility>

#include "arithmetic/phase.hpp"
#include "signal/spectrum/planned_transform.hpp"

namespace lampbeat::signal::spectrum {
namespace {

using Complex = std::complex<double>;

/// exp(−2πi k / size) for k up to a quarter of the size, as products of a coarse and a fine turn.
struct Turns {
  static constexpr std::size_t fine = 32;
  explicit Turns(std::size_t size) {
    const double step = arithmetic::turn / static_cast<double>(size);
    for (std::size_t k = 0; k < fine; ++k) {
      cosine[k] = std::cos(step * static_cast<double>(k));
      sine[k] = -std::sin(step * static_cast<double>(k));
    }
    for (std::size_t k = 0; k <= size / 4; k += fine) {
      coarse.push_back(std::polar(1.0, -step * static_cast<double>(k)));
    }
  }
  std::array<double, fine> cosine;
  std::array<double, fine> sine;
  std::vector<Complex> coarse;
};

/// In place. A real transform of even size is a complex one of half that size and one round of
/// butterflies: complex transforms are planned in microseconds, real ones in milliseconds.
struct Plan {
  PlannedTransform planned;
  Turns turns;
};

std::shared_ptr<const Plan> plan_for(std::size_t size, Direction direction) {
  static std::mutex guard;
  const std::lock_guard lock(guard);
  static std::map<std::pair<std::size_t, Direction>, std::shared_ptr<const Plan>> plans;
  constexpr std::size_t most_plans = 64;
  if (const auto known = plans.find({size, direction}); known != plans.end()) return known->second;
  if (plans.size() >= most_plans) plans.clear();
  auto plan = std::make_shared<const Plan>(Plan{PlannedTransform(size, direction), Turns(size)});
  plans.emplace(std::pair{size, direction}, plan);
  return plan;
}

/// A butterfly parts the transform of pairs of reals, taken for complex numbers, into that of the
/// reals (`sign` +1, from half as much), or joins them (−1). Written out in reals: complex
/// operators look for infinities first.
void butterfly(double* a, double* b, double c, double s, double sign, double part) {
  const double even_r = part * (a[0] + b[0]);
  const double even_i = part * (a[1] - b[1]);
  const double off_r = part * (a[0] - b[0]);
  const double off_i = part * (a[1] + b[1]);
  // Forward −i·turn·off, back +i·conj(turn)·off.
  const double odd_r = sign * c * off_i + s * off_r;
  const double odd_i = s * off_i - sign * c * off_r;
  a[0] = even_r + odd_r;
  a[1] = even_i + odd_i;
  b[0] = even_r - odd_r;
  b[1] = odd_i - even_i;
}

void butterflies(std::vector<Complex>& line, const Turns& turns, double sign, double part) {
  const std::size_t half = line.size() - 1;
  double* const up = reals_of(line).data();
  double* const down = up + 2 * half;
  for (std::size_t k = 0; 2 * k <= half; k += Turns::fine) {
    const Complex coarse = turns.coarse[k / Turns::fine];
    const std::size_t end = std::min(Turns::fine, half / 2 - k + 1);
    for (std::size_t j = k == 0 ? 1 : 0; j < end; ++j) {
      const double c = coarse.real() * turns.cosine[j] - coarse.imag() * turns.sine[j];
      const double s = coarse.real() * turns.sine[j] + coarse.imag() * turns.cosine[j];
      butterfly(up + 2 * (k + j), down - 2 * (k + j), c, s, sign, part);
    }
  }
}

void part_pairs(std::vector<Complex>& line, const Turns& turns) {
  const Complex first = line.front();
  line.front() = first.real() + first.imag();
  line.back() = first.real() - first.imag();
  butterflies(line, turns, 1.0, 0.5);
}

void join_pairs(std::vector<Complex>& line, const Turns& turns) {
  const double first = line.front().real();
  const double last = line.back().real();
  line.front() = {first + last, first - last};
  butterflies(line, turns, -1.0, 1.0);
}

bool is_fast(std::size_t n) {
  if (n % 2 != 0) return false;
  for (const std::size_t factor : {2U, 3U, 5U, 7U}) {
    while (n % factor == 0) n /= factor;
  }
  return n == 1;
}

}  // namespace

std::size_t fast_transform_size(std::size_t n) {
  std::size_t size = std::max<std::size_t>(n + n % 2, 2);
  while (!is_fast(size)) size += 2;
  return size;
}

void transform_in_place(std::vector<std::complex<double>>& record, std::size_t size) {
  const auto plan = plan_for(size, Direction::forward);
  plan->planned.transform(record.data());
  if (size % 2 == 0) part_pairs(record, plan->turns);
}

std::vector<std::complex<double>> forward_transform(std::span<const double> value,
                                                    std::size_t size) {
  if (size == 0) return {};
  std::vector<Complex> record(size / 2 + 1);
  std::copy_n(value.begin(), std::min(size, value.size()), reals_of(record).begin());
  transform_in_place(record, size);
  return record;
}

std::vector<double> inverse_transform(std::span<const std::complex<double>> line,
                                      std::size_t size) {
  if (size == 0) return {};
  const auto plan = plan_for(size, Direction::inverse);
  std::vector<Complex> record(size / 2 + 1);
  std::copy_n(line.begin(), std::min(record.size(), line.size()), record.begin());
  if (size % 2 == 0) join_pairs(record, plan->turns);
  plan->planned.transform(record.data());
  const auto value = reals_of(record).first(size);
  return {value.begin(), value.end()};
}

}  // namespace lampbeat::signal::spectrum
