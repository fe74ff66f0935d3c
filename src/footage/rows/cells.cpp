#include "footage/rows/cells.hpp"

#include <algorithm>
#include <array>
#include <limits>

namespace lampbeat::footage::rows {

namespace {

// Finer rows tell no more bands than lamps make, and cost as much again.
constexpr int most_rows = 540;
// Of columns, of so many pixels at least: a person fills one or two of them.
constexpr std::size_t most_strips = 12;
constexpr std::size_t strip_pixels = 8;
// Share of a cell's pixels. Burnt-out ones hold less light than they got; where more are, a cell no
// longer says how bright it was.
constexpr double burnt_out_cell = 0.02;
// Share of neighbours that are alike where nothing dithers: noise of a code step leaves 0.28.
constexpr double mostly = 0.8;
// Share of the pixels above white in a camera that uses the headroom: single ones are noise.
constexpr double uses_headroom = 0.001;

struct StripSum {
  float light = 0.0F;
  std::uint32_t burnt_out = 0;
};

/// Of pixels beside each other, in several sums: each addition to one would wait for the one
/// before.
StripSum sum_of(std::span<const std::uint16_t> pixels, const float* light, std::uint16_t ceiling) {
  constexpr std::size_t lanes = 4;
  std::array<float, lanes> total{};
  std::array<std::uint32_t, lanes> burnt_out{};
  std::size_t x = 0;
  for (; x + lanes <= pixels.size(); x += lanes) {
    for (std::size_t k = 0; k < lanes; ++k) {
      total[k] += light[pixels[x + k]];
      burnt_out[k] += pixels[x + k] >= ceiling ? 1U : 0U;
    }
  }
  StripSum sum{(total[0] + total[1]) + (total[2] + total[3]),
               burnt_out[0] + burnt_out[1] + burnt_out[2] + burnt_out[3]};
  for (; x < pixels.size(); ++x) {
    sum.light += light[pixels[x]];
    sum.burnt_out += pixels[x] >= ceiling ? 1U : 0U;
  }
  return sum;
}

}  // namespace

void Cells::read_row(std::size_t frame, std::size_t row, std::span<float> light) const {
  if (!frames_[frame]) {
    std::fill(light.begin(), light.end(), missing);
    return;
  }
  const KeptLight* kept = frames_[frame]->data() + place(row, 0);
  for (std::size_t s = 0; s < strips; ++s) light[s] = kept[s].light();
}

void Cells::add_frame(const std::vector<float>& light) {
  frames_.push_back(std::make_shared<const Frame>(light.begin(), light.end()));
}

Cells Cells::empty_like() const {
  Cells empty = *this;
  empty.frames_.clear();
  return empty;
}

Cells Cells::take(std::size_t frames) {
  Cells first = empty_like();
  const auto end = frames_.begin() + static_cast<std::ptrdiff_t>(frames);
  first.frames_.assign(frames_.begin(), end);
  frames_.erase(frames_.begin(), end);
  return first;
}

Cells Cells::part(std::size_t from, std::size_t to) const {
  Cells some = *this;
  some.strips = to - from;
  some.first_strip_ = first_strip_ + from;
  some.strips_left_out_ = stride() - some.strips;
  return some;
}

FrameReducer::FrameReducer(const ClipFormat& format, const TransferFunction& transfer,
                           bool full_range)
    : width_(static_cast<std::size_t>(format.width)), bits_(format.bits), full_range_(full_range) {
  layout_.transfer = transfer;
  layout_.scale.picture_rows = format.height;
  layout_.scale.averaged = (format.height + most_rows - 1) / most_rows;
  layout_.rows = static_cast<std::size_t>(format.height / layout_.scale.averaged);
  layout_.strips = std::clamp<std::size_t>(width_ / strip_pixels, 1, most_strips);
  for (std::size_t s = 1; s <= layout_.strips; ++s) {
    strip_to_.push_back(width_ * s / layout_.strips);
  }
  // ITU-R BT.709-6 item 3.4 and BT.2100-2 table 9: narrow range is 16 ... 235 times 2^(bits − 8).
  const std::size_t codes = std::size_t{1} << bits_;
  const double step = static_cast<double>(std::size_t{1} << (bits_ - 8));
  const double black = full_range_ ? 0.0 : 16.0 * step;
  const double span = full_range_ ? static_cast<double>(codes - 1) : 219.0 * step;
  light_.resize(codes);
  for (std::size_t code = 0; code < codes; ++code) {
    light_[code] = static_cast<float>(decode(transfer, (static_cast<double>(code) - black) / span));
  }
}

Cells FrameReducer::stretch() const { return layout_; }

double FrameReducer::burnt_out_share() const {
  return pixels_ == 0 ? 0.0 : static_cast<double>(burnt_out_) / static_cast<double>(pixels_);
}

/// Some cameras stop at nominal white, some use the headroom above it: the first frame tells.
std::uint16_t FrameReducer::ceiling_of(const std::vector<std::uint16_t>& luma) const {
  const auto step = static_cast<std::uint16_t>(1U << (bits_ - 8));
  const auto last = static_cast<std::uint16_t>((1U << bits_) - step);
  if (full_range_) return last;
  const auto white = static_cast<std::uint16_t>(235 * step);
  const auto above = std::count_if(luma.begin(), luma.end(),
                                   [&](std::uint16_t code) { return code > white + 2 * step; });
  const bool headroom =
      static_cast<double>(above) >= uses_headroom * static_cast<double>(luma.size());
  return headroom ? last : static_cast<std::uint16_t>(white - step);
}

/// Where neighbours hold the same code nearly everywhere, rounding is the same for all of them and
/// averages out nowhere: one code step, relative to the typical light.
double FrameReducer::rounding_of(const std::vector<std::uint16_t>& luma) const {
  std::size_t same = 0;
  std::uint64_t sum = 0;
  for (std::size_t i = 1; i < luma.size(); ++i) {
    same += luma[i] == luma[i - 1] ? 1U : 0U;
    sum += luma[i];
  }
  if (static_cast<double>(same) < mostly * static_cast<double>(luma.size())) return 0.0;
  const std::size_t typical =
      std::min(static_cast<std::size_t>(sum / luma.size()), light_.size() - 2);
  return static_cast<double>(light_[typical + 1] - light_[typical]) /
         std::max(static_cast<double>(light_[typical]), 1e-6);
}

void FrameReducer::add(const std::vector<std::uint16_t>& luma, Cells& to) {
  to.add_frame(reduced(luma));
  to.rounding = layout_.rounding;
}

const std::vector<float>& FrameReducer::reduced(const std::vector<std::uint16_t>& luma) {
  if (!ceiling_) {
    ceiling_ = ceiling_of(luma);
    layout_.rounding = rounding_of(luma);
  }
  frame_.clear();
  const std::uint16_t ceiling = *ceiling_;
  const auto averaged = static_cast<std::size_t>(layout_.scale.averaged);
  std::vector<double> sum(layout_.strips);
  std::vector<std::uint32_t> burnt(layout_.strips);
  const std::uint16_t* pixel = luma.data();
  for (std::size_t row = 0; row < layout_.rows; ++row) {
    std::fill(sum.begin(), sum.end(), 0.0);
    std::fill(burnt.begin(), burnt.end(), 0U);
    for (std::size_t line = 0; line < averaged; ++line, pixel += width_) {
      std::size_t x = 0;
      for (std::size_t s = 0; s < layout_.strips; ++s) {
        const StripSum strip =
            sum_of(std::span(pixel + x, pixel + strip_to_[s]), light_.data(), ceiling);
        x = strip_to_[s];
        sum[s] += static_cast<double>(strip.light);
        burnt[s] += strip.burnt_out;
      }
    }
    std::size_t from = 0;
    for (std::size_t s = 0; s < layout_.strips; ++s) {
      const auto count = static_cast<double>((strip_to_[s] - from) * averaged);
      from = strip_to_[s];
      const bool usable = burnt[s] <= burnt_out_cell * count;
      frame_.push_back(usable ? static_cast<float>(sum[s] / count)
                              : std::numeric_limits<float>::quiet_NaN());
      burnt_out_ += burnt[s];
    }
  }
  pixels_ += luma.size();
  return frame_;
}

}  // namespace lampbeat::footage::rows
