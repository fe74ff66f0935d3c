#include <fmt/format.h>

#include "report/plots/plots.hpp"

namespace lampbeat::report::plots {

namespace {

/// The frame of a picture, with gaps across a filled one and bands across a hollow one. Decoration:
/// the word always stands beside it.
std::string tile(int bands, bool filled) {
  std::string svg =
      "<svg class=\"tile\" viewBox=\"0 0 24 24\" aria-hidden=\"true\" focusable=\"false\">";
  svg += fmt::format(
      "<rect x=\"1.5\" y=\"1.5\" width=\"21\" height=\"21\" rx=\"4\" class=\"tile-{}\"/>",
      filled ? "full" : "empty");
  for (int i = 0; i < bands; ++i) {
    const double height = 21.0 / (2.0 * bands + 1.0);
    svg += fmt::format("<rect x=\"1.5\" y=\"{:.2f}\" width=\"21\" height=\"{:.2f}\" class=\"{}\"/>",
                       1.5 + height * (2 * i + 1), height, filled ? "tile-gap" : "tile-band");
  }
  return svg + "</svg>";
}

}  // namespace

std::string verdict_tile(Verdict verdict) {
  switch (verdict) {
    case Verdict::clean:
      return tile(0, true);
    case Verdict::borderline:
      return tile(1, true);
    case Verdict::visible:
      return tile(2, false);
    case Verdict::strong:
      return tile(4, false);
  }
  return {};
}

std::string filming_tile(FilmingClass filming) {
  switch (filming) {
    case FilmingClass::any_shutter:
      return tile(0, true);
    case FilmingClass::ordinary_shutters:
      return tile(1, true);
    case FilmingClass::matched_shutters_only:
      return tile(2, true);
    case FilmingClass::no_safe_shutter:
      return tile(4, false);
  }
  return {};
}

}  // namespace lampbeat::report::plots
