#include "signal/tones/line_field.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace lampbeat::signal::tones {
namespace {

/// Part of a bin (1/duration) by which lines that were not seen may pull those that were. A line r
/// times as strong, d bins away, pulls a least-squares fit by up to 3 r/(π² d) bins: this allows
/// for one a fifteenth as strong, one bin away.
constexpr double unseen_pull_bins = 0.02;
/// What even a perfect fit may be off by: it stops at steps below 0.02 rad at the window's ends,
/// and leaves about their square, 4e-4 rad or 1.3e-4 bins.
constexpr double rounding_bins = 1e-4;

}  // namespace

LineField::LineField(std::span<const lines::FittedLine> lines, const GroupingContext& context)
    : lines_(lines), context_(context), by_strength_(lines.size()) {
  std::iota(by_strength_.begin(), by_strength_.end(), std::size_t{0});
  std::sort(by_strength_.begin(), by_strength_.end(), [this](std::size_t a, std::size_t b) {
    return lines_[a].amplitude > lines_[b].amplitude;
  });
  rising_ = by_strength_;
  std::sort(rising_.begin(), rising_.end(),
            [this](std::size_t a, std::size_t b) { return lines_[a].hz < lines_[b].hz; });
}

double LineField::hz_sd(std::size_t line) const {
  return std::hypot(lines_[line].hz_sd, rounding_bins / context_.duration_s);
}

double LineField::pull_hz() const { return unseen_pull_bins / context_.duration_s; }

}  // namespace lampbeat::signal::tones
