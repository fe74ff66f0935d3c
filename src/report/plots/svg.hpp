#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace lampbeat::report::plots {

enum class Anchor { start, middle, end };

/// A drawing under construction. Colours, strokes and fonts come from the page's style sheet by
/// class, so that light, dark and print each look as they should; every text given is escaped.
class Svg {
 public:
  /// `id` must be unique on the page. `title` names the drawing, `description` says in words what
  /// it shows, for those who do not see it.
  Svg(std::string_view id, double width, double height, std::string_view title,
      std::string_view description);

  void line(double x1, double y1, double x2, double y2, std::string_view css_class,
            std::string_view hover = {});
  void rect(double x, double y, double width, double height, std::string_view css_class,
            std::string_view hover = {}, double radius = 0.0);
  void circle(double x, double y, double radius, std::string_view css_class,
              std::string_view hover = {});
  void path(std::string_view d, std::string_view css_class, std::string_view hover = {});
  /// A tile repeated over whatever has `fill: url(#id)`, its first corner at x, y; what is drawn
  /// until `end_pattern` is in it.
  void begin_pattern(std::string_view id, double x, double y, double side);
  void end_pattern();
  /// A PNG picture, its bytes already in base64.
  void image(double x, double y, double width, double height, std::string_view png_base64);
  void text(double x, double y, std::string_view words, std::string_view css_class,
            Anchor anchor = Anchor::start);
  /// Text turned a quarter to the left, for the name of a vertical axis.
  void upright_text(double x, double y, std::string_view words, std::string_view css_class);

  std::string finish() const;

 private:
  void shape(const std::string& element, std::string_view css_class, std::string_view hover);
  std::string head_;
  std::string body_;
};

/// "M x y L x y ..." through the points; coordinates with two decimals.
std::string path_through(const std::vector<std::pair<double, double>>& points);

}  // namespace lampbeat::report::plots
