#include "signal/windows/quiet_rail.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <vector>

#include "arithmetic/lanes.hpp"
#include "arithmetic/median.hpp"

namespace lampbeat::signal::windows {

namespace {

// Shares of the range: how near the extreme the plateau lies, and how far from both the inside.
constexpr double plateau = 0.01;
constexpr double inside = 0.05;
constexpr double level = 0.15;  // more between neighbours is an edge
// Shares of the samples that make either side worth comparing: of 256, five and 26.
constexpr double fewest_share_flat = 0.02;
constexpr double fewest_share_inside = 0.1;
// Of the noise inside, what may be left on the plateau: a light's own flat top is as noisy as the
// rest or, by its photons, noisier; a light gone out keeps at least its converter's noise.
constexpr double far_quieter = 0.2;
constexpr double dead_calm = 0.001;
// Less noise than this many steps hides in the converter's rounding, or in arithmetic's.
constexpr double steps_of_noise = 2.0;
constexpr double rounding = 1e-9;  // of the range

/// How much neighbouring samples disagree beyond a straight line, and whether as noise does: then
/// the bend changes sign nearly every time (with probability 0.73 for white noise).
class Roughness {
 public:
  void add(double bend) {
    turns_ += bend * last_ < 0.0;
    last_ = bend;
    size_.push_back(std::abs(bend));
  }
  std::size_t bends() const { return size_.size(); }
  bool noisy() const { return 2 * turns_ > bends(); }
  /// The typical size, by the lower quarter: the edges of pulses bend far more and do not count.
  double typical() {
    if (size_.empty()) return 0.0;
    return arithmetic::nth_smallest(size_, size_.size() / 4);
  }

 private:
  std::vector<double> size_;
  std::uint64_t turns_ = 0;
  double last_ = 0.0;
};

/// The samples of a window, divided into plateau and inside.
class Divided {
 public:
  Divided(std::span<const double> raw, const Survey& survey, bool upper)
      : raw_(raw),
        survey_(survey),
        upper_(upper),
        range_(survey.highest - survey.lowest),
        edge_(upper ? survey.highest - plateau * range_ : survey.lowest + plateau * range_),
        from_(survey.lowest + inside * range_),
        to_(survey.highest - inside * range_) {}

  double range() const { return range_; }
  double bend(std::size_t i) const { return raw_[i - 1] - 2.0 * raw_[i] + raw_[i + 1]; }
  bool on_plateau(double x) const { return upper_ ? x >= edge_ : x <= edge_; }
  bool quiet(std::size_t i) const {
    return on_plateau(raw_[i - 1]) && on_plateau(raw_[i]) && on_plateau(raw_[i + 1]);
  }
  bool ordinary(std::size_t i) const {
    const auto [low, high] = std::minmax({raw_[i - 1], raw_[i], raw_[i + 1]});
    return low > from_ && high < to_ && high - low < level * range_;
  }
  std::uint64_t flat() const {
    std::uint64_t count = 0;
    for_each_near([&](std::size_t i) { count += on_plateau(raw_[i]); });
    return count;
  }
  /// Visits all samples of the plateau, and some beside it.
  template <typename Visit>
  void for_each_near(Visit visit) const {
    for (std::size_t s = 0; s < survey_.range.size(); ++s) {
      if (!on_plateau(upper_ ? survey_.range[s].highest : survey_.range[s].lowest)) continue;
      const std::size_t from = s * Survey::stretch;
      const std::size_t to = std::min(from + Survey::stretch, raw_.size());
      for (std::size_t i = from; i < to; ++i) visit(i);
    }
  }
  /// Whether more than a quarter of all ordinary bends are no larger than `size`.
  bool quarter_within(double size) const;

 private:
  std::span<const double> raw_;
  const Survey& survey_;
  bool upper_;
  double range_;
  double edge_;
  double from_;
  double to_;
};

bool Divided::quarter_within(double size) const {
  using arithmetic::Lanes;
  using arithmetic::lanes_at;
  namespace simd = std::experimental;
  constexpr std::size_t asked_every = 1024;
  const Lanes one = 1.0, two = 2.0;
  const Lanes from = from_, to = to_, limit = size, most_apart = level * range_;
  const double most = static_cast<double>(raw_.size()) / 4.0;  // of more bends than there are
  double bends = 0.0;
  double found = 0.0;
  std::size_t i = 1;
  while (i + 1 < raw_.size() && found <= most) {
    const std::size_t end = std::min(i + asked_every, raw_.size() - 1);
    Lanes all = 0.0, small = 0.0;
    for (; i + arithmetic::lanes <= end; i += arithmetic::lanes) {
      const Lanes before = lanes_at(raw_.data() + i - 1);
      const Lanes now = lanes_at(raw_.data() + i);
      const Lanes after = lanes_at(raw_.data() + i + 1);
      const Lanes low = simd::min(now, simd::min(before, after));
      const Lanes high = simd::max(now, simd::max(before, after));
      const auto counts = low > from && high < to && high - low < most_apart;
      simd::where(counts, all) = all + one;
      simd::where(counts && simd::abs(before - two * now + after) <= limit, small) = small + one;
    }
    bends += simd::reduce(all);
    found += simd::reduce(small);
    for (; i < end; ++i) {
      bends += ordinary(i);
      found += ordinary(i) && std::abs(bend(i)) <= size;
    }
  }
  return found > most || found > bends / 4.0;
}

/// Most windows end here, without a list of all their bends: the typical ordinary bend is shown to
/// be no larger than a bound, and against that bound the plateau is not quiet.
bool surely_as_noisy(const Divided& samples, std::size_t n, double step, double share) {
  constexpr std::size_t looked_at = 512;
  constexpr std::size_t fewest = 32;
  constexpr double allowance = 3.0;
  std::vector<double> some;
  const std::size_t stride = n / looked_at + 1;
  for (std::size_t i = 1; i + 1 < n; i += stride) {
    if (samples.ordinary(i)) some.push_back(std::abs(samples.bend(i)));
  }
  if (some.size() < fewest) return false;
  const double bound = allowance * arithmetic::nth_smallest(some, some.size() / 4);
  if (!samples.quarter_within(bound)) return false;
  if (bound <= std::max(steps_of_noise * step, rounding * samples.range())) return true;
  std::size_t bends = 0;
  std::size_t quieter = 0;
  samples.for_each_near([&](std::size_t i) {
    if (i == 0 || i + 1 >= n || !samples.quiet(i)) return;
    ++bends;
    quieter += std::abs(samples.bend(i)) < share * bound;
  });
  return quieter <= bends / 4;
}

}  // namespace

std::uint64_t at_quiet_rail(std::span<const double> raw, const Survey& survey, double step,
                            bool upper) {
  const Divided samples(raw, survey, upper);
  const auto n = static_cast<double>(raw.size());
  const std::uint64_t flat = samples.flat();
  if (static_cast<double>(flat) < fewest_share_flat * n) return 0;
  const double share = upper ? far_quieter : dead_calm;
  if (surely_as_noisy(samples, raw.size(), step, share)) return 0;
  Roughness quiet;
  Roughness ordinary;
  for (std::size_t i = 1; i + 1 < raw.size(); ++i) {
    if (samples.quiet(i)) {
      quiet.add(samples.bend(i));
    } else if (samples.ordinary(i)) {
      ordinary.add(samples.bend(i));
    }
  }
  const bool known = static_cast<double>(quiet.bends()) >= fewest_share_flat / 2.0 * n &&
                     static_cast<double>(ordinary.bends()) >= fewest_share_inside * n;
  const bool noise_elsewhere =
      ordinary.noisy() &&
      ordinary.typical() > std::max(steps_of_noise * step, rounding * samples.range());
  return known && noise_elsewhere && quiet.typical() < share * ordinary.typical() ? flat : 0;
}

}  // namespace lampbeat::signal::windows
