#include "lampbeat/terminal_plot.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "lampbeat/text_style.hpp"
#include "report/component_size.hpp"
#include "words/numbers.hpp"
#include "words/units.hpp"

namespace lampbeat {

namespace {

using report::size_of;

constexpr int rows = 8;          // of the waveform
constexpr int gutter = 7;        // "142 % |"
constexpr int most_bars = 6;     // rhythms named
constexpr int beside_bars = 32;  // frequency, what it is, and size

/// A grid of dots, written as braille (2 x 4 dots a character) or as one mark per character.
class Dots {
 public:
  Dots(int columns, bool unicode)
      : columns_(columns),
        unicode_(unicode),
        cells_(static_cast<std::size_t>(rows) * static_cast<std::size_t>(columns)) {}
  int width() const { return unicode_ ? 2 * columns_ : columns_; }
  int height() const { return unicode_ ? 4 * rows : rows; }
  void set(int x, int y) {
    if (x < 0 || y < 0 || x >= width() || y >= height()) return;
    // Braille dot numbers, Unicode 15, chapter 21.1: left column 1 2 3 7, right column 4 5 6 8.
    constexpr unsigned bits[4][2] = {{0x01, 0x08}, {0x02, 0x10}, {0x04, 0x20}, {0x40, 0x80}};
    const int column = unicode_ ? x / 2 : x;
    const int row = unicode_ ? y / 4 : y;
    cells_[cell_at(row, column)] |= unicode_ ? bits[y % 4][x % 2] : 1U;
  }
  std::size_t cell_at(int r, int c) const {
    return static_cast<std::size_t>(r) * static_cast<std::size_t>(columns_) +
           static_cast<std::size_t>(c);
  }
  std::string row(int r) const {
    std::string text;
    for (int c = 0; c < columns_; ++c) {
      const unsigned cell = cells_[cell_at(r, c)];
      if (!unicode_) {
        text += cell ? '*' : ' ';
      } else if (cell == 0) {
        text += ' ';
      } else {
        // U+2800 + cell, as UTF-8.
        text.push_back('\xE2');
        text.push_back(static_cast<char>(0xA0U + (cell >> 6)));
        text.push_back(static_cast<char>(0x80U + (cell & 0x3FU)));
      }
    }
    return text;
  }

 private:
  int columns_;
  bool unicode_;
  std::vector<unsigned> cells_;
};

std::string waveform(const Measurement& m, const TextStyle& style, int width) {
  const int columns = width - gutter - 2;
  Dots dots(columns, style.unicode);
  const double top =
      std::max(1.25, *std::max_element(m.cycle->shape.begin(), m.cycle->shape.end()));
  const auto height_of = [&](double value) {
    return static_cast<int>(std::lround((1.0 - value / top) * (dots.height() - 1)));
  };
  int before = -1;
  for (int x = 0; x < dots.width(); ++x) {
    const double phase = std::fmod(2.0 * x / dots.width(), 1.0);
    const auto i = static_cast<std::size_t>(phase * static_cast<double>(m.cycle->shape.size()));
    const int y = height_of(m.cycle->shape[std::min(i, m.cycle->shape.size() - 1)]);
    const int from = before < 0 ? y : before;
    for (int step = std::min(from, y); step <= std::max(from, y); ++step) dots.set(x, step);
    before = y;
  }
  const char* wall = style.unicode ? "│" : "|";
  const int mean_row = height_of(1.0) * rows / dots.height();
  std::string text;
  for (int r = 0; r < rows; ++r) {
    const std::string label = r == 0          ? fmt::format("{:.0f} %", top * 100)
                              : r == rows - 1 ? std::string("dark")
                              : r == mean_row ? std::string("mean")
                                              : std::string();
    std::string line = dots.row(r);
    line.erase(line.find_last_not_of(' ') + 1);
    text += fmt::format("{:>{}} {}{}\n", label, gutter - 1, wall, line);
  }
  std::string span = words::duration(2.0 / m.cycle->hz);
  if (!style.unicode) span = in_ascii(span);
  text += std::string(gutter, ' ') + (style.unicode ? "└" : "+");
  for (int c = 0; c < columns; ++c) text += style.unicode ? "─" : "-";
  text += fmt::format("\n{:>{}}\n", fmt::format("two cycles, {}", span), width);
  return text;
}

std::string bar_of(double part, int columns, bool unicode) {
  if (!unicode) {
    return std::string(static_cast<std::size_t>(std::max(1.0, std::round(part * columns))), '#');
  }
  constexpr const char* eighths[] = {"", "▏", "▎", "▍", "▌", "▋", "▊", "▉"};
  const int eighth = std::max(1, static_cast<int>(std::lround(part * columns * 8)));
  std::string bar;
  for (int i = 0; i < eighth / 8; ++i) bar += "█";
  return bar + eighths[eighth % 8];
}

/// As everywhere, but for what is too small to tell, which has eight columns here.
std::string narrow_percent(double percent) {
  const std::string size = words::percent(percent);
  return size.rfind("under", 0) == 0 ? "< 0.01 %" : size;
}

/// Bars on a logarithmic scale from the noise floor up, since harmonics fall off fast.
std::string rhythms(const Measurement& m, const TextStyle& style, int width) {
  std::vector<MeasuredComponent> shown(
      m.components.begin(),
      m.components.begin() + std::min<std::ptrdiff_t>(most_bars, std::ssize(m.components)));
  std::sort(shown.begin(), shown.end(), [](const auto& a, const auto& b) { return a.hz < b.hz; });
  double high = 0.0;
  double low = 1e9;
  for (const MeasuredComponent& c : shown) {
    high = std::max(high, size_of(c));
    low = std::min(low, size_of(c));
  }
  low = std::min(low / 2.0, high / 10.0);
  const int columns = std::max(8, width - beside_bars);
  std::string text;
  for (const MeasuredComponent& c : shown) {
    const double part =
        high > 0.0 && size_of(c) > 0.0 ? std::log(size_of(c) / low) / std::log(high / low) : 0.0;
    const std::string kind = c.mains_order ? fmt::format("{} x mains", *c.mains_order) : "free";
    text += fmt::format("{:>10} {:>10} {:>8} {}\n", words::hertz(c.hz), kind,
                        narrow_percent(size_of(c)),
                        bar_of(std::clamp(part, 0.0, 1.0), columns, style.unicode));
  }
  if (m.components.size() > shown.size()) {
    text +=
        fmt::format("and {} weaker; bars are logarithmic\n", m.components.size() - shown.size());
  } else {
    text += "bars are logarithmic\n";
  }
  return text;
}

}  // namespace

std::string terminal_plot(const Measurement& m, const TextStyle& style) {
  const int width = std::clamp(style.width, 40, 100);
  std::string text;
  if (m.cycle && m.cycle->shape.size() >= 2) {
    text += waveform(m, style, width);
  } else {
    text += "no cycle to draw: no rhythm stands out, or it is not related to a mean\n";
  }
  if (!m.components.empty()) text += "\n" + rhythms(m, style, width);
  return text;
}

}  // namespace lampbeat
