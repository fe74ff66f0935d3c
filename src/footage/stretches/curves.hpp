#pragma once

#include <array>
#include <cstddef>
#include <string>

#include "lampbeat/clip.hpp"

namespace lampbeat::footage::stretches {

/// The published curves a clip may have been recorded with, and one as cameras' logarithmic modes
/// have it: some 14 stops over the range above black at a tenth of it (common practice, no source;
/// makers differ by 20 %).
enum class Curve { bt709, srgb, hlg, pq, linear, logarithmic };
inline constexpr std::array known_curves = {Curve::bt709, Curve::srgb,   Curve::hlg,
                                            Curve::pq,    Curve::linear, Curve::logarithmic};

/// As `--transfer` takes it; "log" for the logarithmic one, which it does not take.
std::string curve_word(Curve curve);

/// Light as it would be under each of the known curves, from light under the assumed one.
class Redecoder {
 public:
  explicit Redecoder(const TransferFunction& assumed);
  /// The signal, 0 ... 1, that the assumed curve made of this light.
  double signal_of(double light) const { return encode(assumed_, light); }
  /// Light of a signal under the known curve of this number, by a table.
  double light(std::size_t curve, double signal) const;

 private:
  // As many as ten-bit clips have codes, and one beyond the end to interpolate to.
  static constexpr std::size_t steps = 1026;
  TransferFunction assumed_;
  std::array<std::array<double, steps>, known_curves.size()> table_{};
};

}  // namespace lampbeat::footage::stretches
