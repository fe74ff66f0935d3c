#include "footage/answer/curve_check.hpp"

#include <algorithm>
#include <cmath>

namespace lampbeat::footage {

namespace {

// A cell in so many says enough; a class of fewer cells says nothing.
constexpr std::size_t enough_rows = 60;
constexpr std::size_t fewest_cells = 6;
// The middle of many scatters by so much more than their mean.
constexpr double median_over_mean = 1.2533;
// Light that rounding, compression and stray light leave of an equal depth.
constexpr double least_sd = 0.015;
// A curve is contradicted where the classes differ by so much, in mean squares over chance, and
// another explains this share of it.
constexpr double contradicted = 9.0;
constexpr double left_by_right_curve = 0.25;
// Under the right curve the parts agree so far; where other light dilutes the bands, they do not.
constexpr double still_equal = 5.0;
// A curve that leaves little more than the best one may be the right one too.
constexpr double as_good = 2.0;
constexpr double by_chance = 1.0;
constexpr std::size_t fewest_classes = 3;
constexpr double darkest_code = 0.06;

/// Linear light of a signal in a camera's logarithmic mode: some 14 stops over the range above
/// black at a tenth of it (common practice, no source; makers differ by 20 %).
double decode_logarithmic(double signal) {
  constexpr double black = 0.09;
  constexpr double stops = 14.0 / (1.0 - black);
  return std::exp2(stops * (signal - 1.0)) - std::exp2(stops * (black - 1.0));
}

constexpr std::array published = {Transfer::bt709, Transfer::srgb, Transfer::hlg, Transfer::pq,
                                  Transfer::linear};
static_assert(known_curves == published.size() + 1);  // the logarithmic one comes last

std::string name_of(std::size_t curve) {
  return curve < published.size() ? transfer_name({published[curve], {}}) : "log";
}

double decode_by(std::size_t curve, double signal) {
  return curve < published.size() ? decode({published[curve], {}}, signal)
                                  : decode_logarithmic(signal);
}

/// Light under the assumed curve to light under the others, by a table over the code values.
class Redecoder {
 public:
  explicit Redecoder(const TransferFunction& assumed) : assumed_(assumed) {
    for (std::size_t c = 0; c < known_curves; ++c) {
      for (std::size_t i = 0; i < steps; ++i) {
        table_[c][i] = decode_by(c, static_cast<double>(i) / (steps - 2));
      }
    }
  }
  double code_of(double light) const { return encode(assumed_, light); }
  double light(std::size_t curve, double code) const {
    const double at = std::clamp(code, 0.0, 1.0) * (steps - 2);
    const auto i = static_cast<std::size_t>(at);
    const double part = at - static_cast<double>(i);
    return table_[curve][i] + part * (table_[curve][i + 1] - table_[curve][i]);
  }

 private:
  static constexpr std::size_t steps = 1026;
  TransferFunction assumed_;
  std::array<std::array<double, steps>, known_curves> table_{};
};

/// A cell's light over time against the pattern it should follow.
struct Regression {
  double n = 0.0, x = 0.0, y = 0.0, xx = 0.0, xy = 0.0;
  void add(double pattern, double light) {
    n += 1.0;
    x += pattern;
    y += light;
    xx += pattern * pattern;
    xy += pattern * light;
  }
  bool enough() const { return n >= 8.0 && xx - x * x / n > 1e-12 * n && y > 0.0; }
  /// Slope over the light at no pattern.
  double depth() const {
    const double slope = (xy - x * y / n) / (xx - x * x / n);
    return slope / ((y - slope * x) / n);
  }
};

/// Depths of cells, gathered by part of the picture.
class Gathered {
 public:
  void add(std::size_t brightness, std::size_t place, double depth) {
    if (!std::isfinite(depth)) return;
    by_brightness_[brightness].push_back(depth);
    by_place_[place].push_back(depth);
  }
  CurveDepths typical() { return {middles(by_brightness_), middles(by_place_)}; }

 private:
  using Values = std::array<std::vector<double>, picture_parts>;
  static PartDepths middles(Values& parts) {
    PartDepths depths{};
    for (std::size_t k = 0; k < picture_parts; ++k) {
      std::vector<double>& values = parts[k];
      if (values.size() < fewest_cells) continue;
      const double middle = median(values);
      for (double& v : values) v = std::abs(v - middle);
      const double sd = normal_sd * median_over_mean * median(values) /
                        std::sqrt(static_cast<double>(values.size()));
      depths[k] = {middle, sd * sd + least_sd * least_sd * middle * middle};
    }
    return depths;
  }
  Values by_brightness_;
  Values by_place_;
};

void join(PartDepths& into, const PartDepths& more) {
  for (std::size_t k = 0; k < picture_parts; ++k) {
    PartDepth& a = into[k];
    const PartDepth& b = more[k];
    if (!(b.variance > 0.0)) continue;
    if (!(a.variance > 0.0)) {
      a = b;
      continue;
    }
    const double weight = 1.0 / a.variance + 1.0 / b.variance;
    a.depth = (a.depth / a.variance + b.depth / b.variance) / weight;
    a.variance = 1.0 / weight;
  }
}

void join(CurveDepths& into, const CurveDepths& more) {
  join(into.by_brightness, more.by_brightness);
  join(into.by_place, more.by_place);
}

/// How unequal the parts are, in mean squares over chance, and their common depth.
struct Equality {
  double misfit = 0.0;
  double depth = 0.0;
  std::size_t classes = 0;

  bool tells() const { return classes >= fewest_classes; }
  bool contradicts() const { return tells() && misfit >= contradicted; }
};

Equality equality_of(PartDepths depths) {
  // Stretches agree on what all of them have wrong.
  for (PartDepth& d : depths) {
    if (d.variance > 0.0) d.variance = std::max(d.variance, std::pow(least_sd * d.depth, 2));
  }
  Equality equal;
  double weights = 0.0;
  for (const PartDepth& d : depths) {
    if (!(d.variance > 0.0)) continue;
    ++equal.classes;
    weights += 1.0 / d.variance;
    equal.depth += d.depth / d.variance;
  }
  if (equal.classes < 2) return equal;
  equal.depth /= weights;
  for (const PartDepth& d : depths) {
    if (d.variance > 0.0) equal.misfit += std::pow(d.depth - equal.depth, 2) / d.variance;
  }
  equal.misfit /= static_cast<double>(equal.classes - 1);
  return equal;
}

}  // namespace

void CurveEvidence::add(const CurveEvidence& more) {
  if (more.empty) return;
  empty = false;
  join(assumed, more.assumed);
  for (std::size_t c = 0; c < known_curves; ++c) join(curve[c], more.curve[c]);
}

CurveEvidence curve_evidence(const Parts& parts, const Wave& wave) {
  const Cells& cells = parts.cells;
  const Redecoder redecoder(cells.transfer);
  const Plane pattern = pattern_of({wave}, cells.frames(), cells.rows, cells.scale);
  const std::size_t step = std::max<std::size_t>(cells.rows / enough_rows, 1);
  Gathered assumed;
  std::array<Gathered, known_curves> redecoded;
  for (std::size_t r = step / 2; r < cells.rows; r += step) {
    for (std::size_t s = 0; s < cells.strips; ++s) {
      const std::size_t cell = r * cells.strips + s;
      const double code = redecoder.code_of(static_cast<double>(parts.scene[cell]));
      if (std::isnan(code) || code < darkest_code || code >= 1.0) continue;
      Regression plain;
      std::array<Regression, known_curves> others;
      bool burnt = false;
      for (std::size_t n = 0; n < cells.frames() && !burnt; ++n) {
        const double light = static_cast<double>(cells.value[n * cells.frame_size() + cell]);
        // A missing frame is missing in all cells; one missing here alone was burnt out.
        if (std::isnan(light)) {
          burnt = !std::isnan(cells.value[n * cells.frame_size()]);
          continue;
        }
        const double even = light / parts.gain[n];
        plain.add(pattern.at(n, r), even);
        const double code_now = redecoder.code_of(even);
        for (std::size_t c = 0; c < known_curves; ++c) {
          others[c].add(pattern.at(n, r), redecoder.light(c, code_now));
        }
      }
      if (burnt || !plain.enough()) continue;
      const auto brightness = static_cast<std::size_t>(code * picture_parts);
      const std::size_t place = 5 * (3 * r / cells.rows) + 5 * s / cells.strips;
      assumed.add(brightness, place, plain.depth());
      for (std::size_t c = 0; c < known_curves; ++c) {
        redecoded[c].add(brightness, place, others[c].depth());
      }
    }
  }
  CurveEvidence evidence;
  evidence.empty = false;
  evidence.assumed = assumed.typical();
  for (std::size_t c = 0; c < known_curves; ++c) evidence.curve[c] = redecoded[c].typical();
  return evidence;
}

bool agrees_with_curve(const CurveEvidence& evidence) {
  if (evidence.empty) return false;
  const Equality assumed = equality_of(evidence.assumed.by_brightness);
  return assumed.tells() && !assumed.contradicts();
}

std::optional<BetterCurve> better_curve(const CurveEvidence& evidence) {
  if (evidence.empty) return std::nullopt;
  const Equality assumed = equality_of(evidence.assumed.by_brightness);
  if (!assumed.contradicts()) return std::nullopt;
  std::array<Equality, known_curves> equal;
  for (std::size_t c = 0; c < known_curves; ++c) {
    equal[c] = equality_of(evidence.curve[c].by_brightness);
    equal[c].misfit = std::max(equal[c].misfit, equality_of(evidence.curve[c].by_place).misfit);
  }
  const auto best = std::min_element(
      equal.begin(), equal.end(), [](const auto& a, const auto& b) { return a.misfit < b.misfit; });
  if (best->misfit > std::min(left_by_right_curve * assumed.misfit, still_equal)) {
    return std::nullopt;
  }
  BetterCurve better;
  better.name = name_of(static_cast<std::size_t>(best - equal.begin()));
  better.deeper = best->depth / assumed.depth;
  const double good = std::max(as_good * best->misfit, by_chance);
  for (const Equality& e : equal) {
    if (e.misfit > good || !(e.depth > 0.0)) continue;
    better.least = std::min(better.least, e.depth / assumed.depth);
    better.most = std::max(better.most, e.depth / assumed.depth);
  }
  const PartDepths& parts = evidence.assumed.by_brightness;
  const auto known = [](const PartDepth& d) { return d.variance > 0.0; };
  const auto dark = std::find_if(parts.begin(), parts.end(), known);
  const auto bright = std::find_if(parts.rbegin(), parts.rend(), known);
  better.bright = bright->depth / dark->depth;
  return better;
}

}  // namespace lampbeat::footage
