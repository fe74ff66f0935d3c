#include <fmt/format.h>

#include <array>

#include "report/plots/plots.hpp"

// The emblems. What is filled is safe, in any colour and in grey; bands are what would be seen.
// Decoration: the word always stands beside them.

namespace lampbeat::report::plots {

namespace {

std::string emblem(const std::string& shapes) {
  return "<svg class=\"tile\" viewBox=\"0 0 24 24\" aria-hidden=\"true\" focusable=\"false\">" +
         shapes + "</svg>";
}

constexpr const char* empty_frame =
    "<rect x=\"1.5\" y=\"1.5\" width=\"21\" height=\"21\" rx=\"4\" class=\"tile-empty\"/>";
constexpr const char* full_frame =
    "<rect x=\"1.5\" y=\"1.5\" width=\"21\" height=\"21\" rx=\"4\" class=\"tile-full\"/>";
constexpr const char* right_half_of_frame =
    "<path d=\"M12 1.5h6.5a4 4 0 0 1 4 4v13a4 4 0 0 1 -4 4h-6.5Z\" class=\"tile-full\"/>";

/// Bands lying across a box.
std::string bands(int count, double left, double top, double width, double height) {
  std::string shapes;
  const double step = height / (2.0 * count + 1.0);
  for (int i = 0; i < count; ++i) {
    shapes += fmt::format(
        "<rect x=\"{}\" y=\"{:.2f}\" width=\"{}\" height=\"{:.2f}\" class=\"tile-band\"/>", left,
        top + step * (2 * i + 1), width, step);
  }
  return shapes;
}

/// The stops of a shutter dial from long exposures to short ones: a bar where one is safe, a thin
/// line where it is not.
std::string dial(const std::array<bool, 5>& safe) {
  constexpr double bottom = 22.5;
  constexpr double apart = 4.6;
  constexpr double bar = 3.6;
  constexpr double line = 1.2;
  std::string shapes;
  double middle = 2.8;
  double height = 21.0;
  for (const bool here : safe) {
    const double width = here ? bar : line;
    shapes += fmt::format(
        "<rect x=\"{:.2f}\" y=\"{:.2f}\" width=\"{}\" height=\"{:.2f}\" class=\"{}\"/>",
        middle - width / 2, bottom - height, width, height, here ? "dial-safe" : "dial-not");
    middle += apart;
    height -= 3.0;
  }
  return shapes;
}

std::string column(double left, double height, const char* css_class) {
  constexpr double foot = 22.0;
  return fmt::format("<rect x=\"{}\" y=\"{}\" width=\"7\" height=\"{}\" class=\"{}\"/>", left,
                     foot - height, height, css_class);
}

/// How it was on the left, how it is on the right.
std::string columns(double before, double after) {
  return emblem(column(3.0, before, "tile-empty") + column(14.0, after, "tile-full"));
}

}  // namespace

std::string change_tile(ChangeVerdict verdict) {
  constexpr double high = 19.0;
  constexpr double middle = 13.0;
  constexpr double low = 6.0;
  switch (verdict) {
    case ChangeVerdict::better:
      return columns(high, low);
    case ChangeVerdict::unchanged:
      return columns(middle, middle);
    case ChangeVerdict::worse:
      return columns(low, high);
    case ChangeVerdict::unknown:
      return emblem(column(3.0, middle, "tile-empty") + column(14.0, high, "tile-empty"));
  }
  return {};
}

std::string verdict_tile(Verdict verdict) {
  switch (verdict) {
    case Verdict::clean:
      return emblem(full_frame);
    case Verdict::borderline:
      return emblem(std::string(empty_frame) + right_half_of_frame);
    case Verdict::visible:
      return emblem(empty_frame + bands(2, 1.5, 1.5, 21.0, 21.0));
    case Verdict::strong:
      return emblem(empty_frame + bands(4, 1.5, 1.5, 21.0, 21.0));
  }
  return {};
}

std::string no_light_tile() {
  std::string dots;
  for (const double x : {7.0, 17.0}) {
    for (const double y : {7.0, 17.0}) {
      dots += fmt::format("<circle cx=\"{}\" cy=\"{}\" r=\"1.6\" class=\"tile-band\"/>", x, y);
    }
  }
  return emblem(empty_frame + dots);
}

std::string filming_tile(FilmingClass filming) {
  switch (filming) {
    case FilmingClass::any_shutter:
      return emblem(dial({true, true, true, true, true}));
    case FilmingClass::ordinary_shutters:
      return emblem(dial({true, true, true, false, false}));
    case FilmingClass::matched_shutters_only:
      return emblem(dial({false, true, false, true, false}));
    case FilmingClass::no_safe_shutter:
      return emblem(dial({false, false, false, false, false}) + bands(2, 1.0, 3.0, 22.0, 18.0));
  }
  return {};
}

}  // namespace lampbeat::report::plots
