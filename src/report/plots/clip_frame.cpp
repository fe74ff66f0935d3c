#include <fmt/format.h>

#include <algorithm>

#include "report/plots/frame.hpp"
#include "report/plots/plots.hpp"
#include "words/numbers.hpp"

namespace lampbeat::report::plots {

namespace {

// Drawing units beside the picture: a mark wide enough to be seen on a telephone.
constexpr double margin = 16.0;
constexpr double mark_width = 8.0;
// A tall picture would push everything else off the screen.
constexpr double tallest = 360.0;

std::string in_words(const FootageResult& f) {
  if (f.view.dark_bands.empty()) return "The first frame of the clip, with no bands marked.";
  return fmt::format("The first frame of the clip; {} dark {} marked at both sides.",
                     f.view.dark_bands.size(),
                     f.view.dark_bands.size() == 1 ? "band is" : "bands are");
}

}  // namespace

std::string clip_frame_svg(const FootageResult& f, const std::string& png_base64) {
  const ClipPicture& picture = f.view.picture;
  if (picture.grey.empty() || png_base64.empty()) return {};
  const double scale =
      std::min((plot_width - 2.0 * margin) / picture.width, tallest / picture.height);
  const double width = scale * picture.width;
  const double height = scale * picture.height;
  const double left = (plot_width - width) / 2.0;
  const double top = 6.0;
  Svg svg("clip-frame", plot_width, height + 2.0 * top, "A frame of the clip", in_words(f));
  svg.image(left, top, width, height, png_base64);
  for (const RowSpan& band : f.view.dark_bands) {
    const std::string hover = fmt::format("dark from {:.0f} % to {:.0f} % of the height",
                                          100.0 * band.from, 100.0 * band.to);
    const double y = top + height * band.from;
    const double tall = height * (band.to - band.from);
    svg.rect(left - mark_width - 3.0, y, mark_width, tall, "window-mark", hover);
    svg.rect(left + width + 3.0, y, mark_width, tall, "window-mark", hover);
  }
  return svg.finish();
}

}  // namespace lampbeat::report::plots
