#include "footage/answer/curve_doubt.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "words/numbers.hpp"

namespace lampbeat::footage::answer {

namespace {

// Logarithmic modes differ from maker to maker by so much (common practice, no source).
constexpr double between_makers = 0.2;

std::string what_to_do(stretches::Curve curve) {
  if (curve == stretches::Curve::logarithmic) {
    return "convert the clip to an ordinary picture, or film in the camera's normal mode";
  }
  return fmt::format("if it was recorded so, add --transfer {}", stretches::curve_word(curve));
}

double widened(double sd, double value, const CurveDoubt& doubt) {
  return std::hypot(sd, doubt.share_off * value);
}

}  // namespace

CurveDoubt curve_doubt(const BetterCurve& better, const TransferFunction& assumed) {
  const bool logarithmic = better.curve == stretches::Curve::logarithmic;
  const bool dark_deeper = better.bright < 1.0;
  CurveDoubt doubt;
  doubt.why = fmt::format(
      "Read as {}, the bands are {} times as deep in the {} parts of the picture as in the {}, "
      "which no light "
      "does; read as {}, they are equal everywhere and {} times as deep as stated: {}.",
      transfer_name(assumed),
      words::in_digits_at_most(dark_deeper ? 1.0 / better.bright : better.bright, 2),
      dark_deeper ? "dark" : "bright", dark_deeper ? "bright" : "dark",
      logarithmic ? "a camera's logarithmic mode" : stretches::curve_word(better.curve),
      words::in_digits_at_most(better.deeper, 2), what_to_do(better.curve));
  doubt.share_off = std::max(1.0 - better.least, better.most - 1.0) +
                    (logarithmic ? between_makers * better.deeper : 0.0);
  doubt.least = better.least;
  doubt.most = better.most;
  return doubt;
}

BandFigures widened(BandFigures bands, const CurveDoubt& doubt) {
  bands.percent_sd = widened(bands.percent_sd, bands.percent, doubt);
  return bands;
}

std::vector<SeenWave> widened(std::vector<SeenWave> waves, const CurveDoubt& doubt) {
  for (SeenWave& wave : waves) {
    wave.band_percent_sd = widened(wave.band_percent_sd, wave.band_percent, doubt);
  }
  return waves;
}

bool holds_under(const CurveDoubt& doubt, Verdict verdict, const Figures& figures,
                 std::optional<double> fps, const Viewing& viewing) {
  const auto under = [&](double times) {
    return judged(deepened(figures, times), fps, viewing).verdict;
  };
  return under(doubt.least) == verdict && under(doubt.most) == verdict;
}

}  // namespace lampbeat::footage::answer
