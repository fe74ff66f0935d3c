#pragma once

#include <optional>
#include <string>
#include <vector>

#include "footage/answer/curve_check.hpp"
#include "footage/answer/judging.hpp"

namespace lampbeat::footage::answer {

/// What is left of the figures when another curve suits the picture better than the assumed one.
struct CurveDoubt {
  std::string why;
  double share_off = 0.0;  ///< by how much of themselves depths may be wrong
  double least = 1.0;      ///< depths under the curves that suit, over those as assumed
  double most = 1.0;
};
CurveDoubt curve_doubt(const BetterCurve& better, const TransferFunction& assumed);

/// Uncertainties that reach as far as the curve that suits.
BandFigures widened(BandFigures bands, const CurveDoubt& doubt);
std::vector<SeenWave> widened(std::vector<SeenWave> waves, const CurveDoubt& doubt);

/// Whether the verdict stays under every curve that suits.
bool holds_under(const CurveDoubt& doubt, Verdict verdict, const Figures& figures,
                 std::optional<double> fps, const Viewing& viewing);

}  // namespace lampbeat::footage::answer
