#include <algorithm>
#include <cmath>
#include <numbers>
#include <span>

#include "lampbeat/picture.hpp"
#include "reasoning/bands/residue.hpp"
#include "reasoning/mixture/rhythm.hpp"

namespace lampbeat {

namespace {

using reasoning::Harmonic;
using reasoning::Rhythm;

double value_at(const Rhythm& rhythm, double cycles) {
  double value = 0.0;
  for (const Harmonic& h : rhythm.harmonics) {
    const double turn = h.order * cycles;
    const double angle = 2.0 * std::numbers::pi * (turn - std::floor(turn));
    value += h.amplitude.real() * std::cos(angle) - h.amplitude.imag() * std::sin(angle);
  }
  return value;
}

/// One cycle of a rhythm, tabulated twice over.
class Table {
 public:
  static constexpr int points = 2048;

  explicit Table(const Rhythm& rhythm) : value_(2 * points) {
    for (int i = 0; i < points; ++i) {
      at(i) = at(i + points) = static_cast<float>(value_at(rhythm, double(i) / points));
    }
  }

  struct Place {
    float difference = 0.0F;
    double phase = 0.0;  ///< of the first of the pair, cycles
  };
  /// Where bright · first − dark · second is largest, the second `apart` cycles after the first.
  Place widest(float bright, float dark, double apart) const {
    const int shift = static_cast<int>(std::lround((apart - std::floor(apart)) * points)) % points;
    int best = 0;
    float widest = bright * at(0) - dark * at(shift);
    for (int i = 1; i < points; ++i) {
      const float here = bright * at(i) - dark * at(i + shift);
      if (here > widest) widest = here, best = i;
    }
    return {widest, double(best) / points};
  }

 private:
  float& at(int i) { return value_[static_cast<std::size_t>(i)]; }
  float at(int i) const { return value_[static_cast<std::size_t>(i)]; }
  std::vector<float> value_;
};

/// Rhythms with a phase each, as they stand when a certain row starts.
struct Alignment {
  int row = 0;
  std::vector<double> phase;  ///< cycles, one per rhythm
};

/// The brightest and the darkest row of the frame are some rows apart; whatever the distance, each
/// rhythm is put where it contributes most to their contrast. The contrast c itself is known from
/// the prediction, so the best pair is the one with the largest (1 − c) · bright − (1 + c) · dark.
Alignment widest_contrast(std::span<const Rhythm> rhythms, const Shot& shot, double contrast) {
  constexpr int most_distances = 1200;  // finer than the picture has rows
  std::vector<Table> tables(rhythms.begin(), rhythms.end());
  const auto bright = static_cast<float>(1.0 - contrast);
  const auto dark = static_cast<float>(1.0 + contrast);
  const int step = std::max(1, shot.rows / most_distances);
  Alignment best;
  float widest = -1.0F;
  for (int distance = -(shot.rows - 1); distance < shot.rows; distance += step) {
    if (distance == 0) continue;
    const double apart_s = distance * shot.readout_s / shot.rows;
    Alignment here;
    float sum = 0.0F;
    for (std::size_t r = 0; r < rhythms.size(); ++r) {
      const auto place = tables[r].widest(bright, dark, rhythms[r].hz * apart_s);
      sum += place.difference;
      here.phase.push_back(place.phase);
    }
    if (sum <= widest) continue;
    widest = sum;
    here.row = (shot.rows - 1 - distance) / 2;  // the pair in the middle of the picture
    best = here;
  }
  return best;
}

Alignment darkest(std::span<const Rhythm> rhythms) {
  Alignment alignment;
  for (const Rhythm& rhythm : rhythms) {
    alignment.phase.push_back(Table(rhythm).widest(0.0F, 1.0F, 0.0).phase);
  }
  return alignment;
}

}  // namespace

std::vector<double> least_favourable_rows(const Prediction& prediction) {
  const Shot& shot = prediction.shot;
  const auto rhythms =
      reasoning::after_exposure(reasoning::rhythms_of(prediction.lights), shot.exposure_s);
  std::vector<double> rows(static_cast<std::size_t>(shot.rows), 1.0);
  if (rhythms.empty()) return rows;
  const bool rolling = shot.readout_s > 0.0 && shot.rows > 1;
  const Alignment alignment =
      rolling ? widest_contrast(rhythms, shot, prediction.nominal.band_percent / 100.0)
              : darkest(rhythms);
  for (std::size_t row = 0; row < rows.size(); ++row) {
    const double after_s = (static_cast<double>(row) - alignment.row) * shot.readout_s / shot.rows;
    for (std::size_t r = 0; r < rhythms.size(); ++r) {
      rows[row] += value_at(rhythms[r], alignment.phase[r] + rhythms[r].hz * after_s);
    }
    rows[row] = std::max(rows[row], 0.0);  // independent rhythms at their worst can pass darkness
  }
  return rows;
}

}  // namespace lampbeat
