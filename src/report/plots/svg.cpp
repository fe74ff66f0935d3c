#include "report/plots/svg.hpp"
#include "words/foreign_text.hpp"

#include <fmt/format.h>

namespace lampbeat::report::plots {

Svg::Svg(std::string_view id, double width, double height, std::string_view title,
         std::string_view description)
    : head_(fmt::format(
          "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {:.0f} {:.0f}\" role=\"img\" "
          "aria-labelledby=\"{}-title {}-desc\">\n<title id=\"{}-title\">{}</title>\n"
          "<desc id=\"{}-desc\">{}</desc>\n",
          width, height, id, id, id, words::as_markup(title), id, words::as_markup(description))) {}

void Svg::shape(const std::string& element, std::string_view css_class, std::string_view hover) {
  const std::string name = element.substr(0, element.find(' '));
  body_ += fmt::format("<{} class=\"{}\"", element, css_class);
  body_ += hover.empty() ? "/>\n"
                         : fmt::format("><title>{}</title></{}>\n", words::as_markup(hover), name);
}

void Svg::line(double x1, double y1, double x2, double y2, std::string_view css_class,
               std::string_view hover) {
  shape(fmt::format("line x1=\"{:.2f}\" y1=\"{:.2f}\" x2=\"{:.2f}\" y2=\"{:.2f}\"", x1, y1, x2, y2),
        css_class, hover);
}

void Svg::rect(double x, double y, double width, double height, std::string_view css_class,
               std::string_view hover, double radius) {
  shape(
      fmt::format("rect x=\"{:.2f}\" y=\"{:.2f}\" width=\"{:.2f}\" height=\"{:.2f}\" rx=\"{:.1f}\"",
                  x, y, width, height, radius),
      css_class, hover);
}

void Svg::circle(double x, double y, double radius, std::string_view css_class,
                 std::string_view hover) {
  shape(fmt::format("circle cx=\"{:.2f}\" cy=\"{:.2f}\" r=\"{:.2f}\"", x, y, radius), css_class,
        hover);
}

void Svg::path(std::string_view d, std::string_view css_class, std::string_view hover) {
  shape(fmt::format("path d=\"{}\"", d), css_class, hover);
}

void Svg::begin_pattern(std::string_view id, double x, double y, double side) {
  body_ += fmt::format(
      "<pattern id=\"{}\" patternUnits=\"userSpaceOnUse\" x=\"{:.2f}\" y=\"{:.2f}\" "
      "width=\"{:.3f}\" height=\"{:.3f}\">\n",
      id, x, y, side, side);
}

void Svg::end_pattern() { body_ += "</pattern>\n"; }

void Svg::image(double x, double y, double width, double height, std::string_view png_base64) {
  body_ += fmt::format(
      "<image x=\"{:.2f}\" y=\"{:.2f}\" width=\"{:.2f}\" height=\"{:.2f}\" "
      "preserveAspectRatio=\"none\" href=\"data:image/png;base64,{}\"/>\n",
      x, y, width, height, png_base64);
}

void Svg::text(double x, double y, std::string_view words, std::string_view css_class,
               Anchor anchor) {
  constexpr const char* names[] = {"start", "middle", "end"};
  body_ +=
      fmt::format("<text x=\"{:.2f}\" y=\"{:.2f}\" text-anchor=\"{}\" class=\"{}\">{}</text>\n", x,
                  y, names[static_cast<int>(anchor)], css_class, words::as_markup(words));
}

void Svg::upright_text(double x, double y, std::string_view words, std::string_view css_class) {
  body_ += fmt::format(
      "<text transform=\"translate({:.2f} {:.2f}) rotate(-90)\" text-anchor=\"middle\" "
      "class=\"{}\">{}</text>\n",
      x, y, css_class, words::as_markup(words));
}

std::string Svg::finish() const { return head_ + body_ + "</svg>"; }

std::string path_through(const std::vector<std::pair<double, double>>& points) {
  std::string d;
  for (const auto& [x, y] : points)
    d += fmt::format("{}{:.2f} {:.2f}", d.empty() ? "M" : "L", x, y);
  return d;
}

}  // namespace lampbeat::report::plots
