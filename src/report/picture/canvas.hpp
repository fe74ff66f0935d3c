#pragma once

#include <cstdint>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "report/plots/floor_plan.hpp"

namespace lampbeat::report::picture {

/// Number of a colour in a picture's own list of them.
using Ink = std::uint8_t;

/// A picture under construction, one ink for each pixel. What lies beyond its edges is left out.
class Canvas {
 public:
  Canvas(int width, int height, Ink ground);
  int width() const { return width_; }
  int height() const { return height_; }
  const std::uint8_t* line(int y) const;
  Ink at(int x, int y) const;

  /// The pixels whose middles lie in the box, each as `ink` says of its middle.
  void paint(const plots::Box& box, const std::function<Ink(double x, double y)>& ink);
  void fill(const plots::Box& box, Ink ink);
  /// Its edges, `thickness` pixels wide, around the box.
  void frame(const plots::Box& box, double thickness, Ink ink);
  /// What is nearer than half of `thickness` to the line: round at its ends, a disc where both are
  /// one.
  void stroke(double x1, double y1, double x2, double y2, double thickness, Ink ink);
  /// A square on its tip.
  void diamond(double x, double y, double radius, Ink ink);
  /// Words with their left top corner here, each dot `dot` pixels wide.
  void write(double left, double top, std::string_view words, int dot, Ink ink);

 private:
  int width_, height_;
  std::vector<Ink> pixels_;
};

/// How wide `Canvas::write` makes these words; 0 where it has not all their letters.
double written_width(std::string_view words, int dot);
double written_height(int dot);

}  // namespace lampbeat::report::picture
