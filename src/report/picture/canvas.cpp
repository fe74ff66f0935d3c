#include "report/picture/canvas.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "report/picture/letters.hpp"

namespace lampbeat::report::picture {

namespace {

/// Distance of a point from a line that ends.
double distance(double x, double y, double x1, double y1, double x2, double y2) {
  const double dx = x2 - x1;
  const double dy = y2 - y1;
  const double square = dx * dx + dy * dy;
  const double part =
      square > 0.0 ? std::clamp(((x - x1) * dx + (y - y1) * dy) / square, 0.0, 1.0) : 0.0;
  return std::hypot(x - x1 - part * dx, y - y1 - part * dy);
}

int first_pixel(double edge) { return std::max(0, static_cast<int>(std::ceil(edge - 0.5))); }

}  // namespace

Canvas::Canvas(int width, int height, Ink ground)
    : width_(width),
      height_(height),
      pixels_(static_cast<std::size_t>(width) * static_cast<std::size_t>(height), ground) {}

const std::uint8_t* Canvas::line(int y) const {
  return pixels_.data() + static_cast<std::ptrdiff_t>(y) * width_;
}

Ink Canvas::at(int x, int y) const { return line(y)[x]; }

void Canvas::paint(const plots::Box& box, const std::function<Ink(double, double)>& ink) {
  const int right = std::min(width_, first_pixel(box.right));
  const int bottom = std::min(height_, first_pixel(box.bottom));
  for (int y = first_pixel(box.top); y < bottom; ++y) {
    for (int x = first_pixel(box.left); x < right; ++x) {
      pixels_[static_cast<std::size_t>(y) * static_cast<std::size_t>(width_) +
              static_cast<std::size_t>(x)] = ink(x + 0.5, y + 0.5);
    }
  }
}

void Canvas::fill(const plots::Box& box, Ink ink) {
  paint(box, [&](double, double) { return ink; });
}

void Canvas::frame(const plots::Box& box, double thickness, Ink ink) {
  const double t = thickness;
  fill({box.left - t, box.top - t, box.right + t, box.top}, ink);
  fill({box.left - t, box.bottom, box.right + t, box.bottom + t}, ink);
  fill({box.left - t, box.top, box.left, box.bottom}, ink);
  fill({box.right, box.top, box.right + t, box.bottom}, ink);
}

void Canvas::stroke(double x1, double y1, double x2, double y2, double thickness, Ink ink) {
  const double half = thickness / 2.0;
  const plots::Box box{std::min(x1, x2) - half, std::min(y1, y2) - half, std::max(x1, x2) + half,
                       std::max(y1, y2) + half};
  paint(box, [&](double x, double y) {
    return distance(x, y, x1, y1, x2, y2) <= half ? ink
                                                  : at(static_cast<int>(x), static_cast<int>(y));
  });
}

void Canvas::diamond(double x, double y, double radius, Ink ink) {
  paint({x - radius, y - radius, x + radius, y + radius}, [&](double px, double py) {
    return std::abs(px - x) + std::abs(py - y) <= radius
               ? ink
               : at(static_cast<int>(px), static_cast<int>(py));
  });
}

void Canvas::write(double left, double top, std::string_view words, int dot, Ink ink) {
  for (const Letter& letter : letters_of(words)) {
    for (int column = 0; column < letter_columns; ++column) {
      for (int row = 0; row < letter_rows; ++row) {
        if (((letter.columns[column] >> row) & 1) == 0) continue;
        const double x = left + column * dot;
        const double y = top + row * dot;
        fill({x, y, x + dot, y + dot}, ink);
      }
    }
    left += (letter_columns + 1) * dot;
  }
}

double written_width(std::string_view words, int dot) {
  return static_cast<double>(letters_of(words).size()) * (letter_columns + 1) * dot;
}

double written_height(int dot) { return static_cast<double>(letter_rows) * dot; }

}  // namespace lampbeat::report::picture
