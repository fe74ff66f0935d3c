#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "lampbeat/cycle.hpp"
#include "lampbeat/window.hpp"

namespace lampbeat::signal::cycle {

/// All stretches' samples of one cell. Values are less the table's `middle`.
struct CellTotals {
  double count = 0.0;
  double value = 0.0;
  double square = 0.0;
  double distance = 0.0;  ///< from the middle
  double offset = 0.0;    ///< of the phases from the cell's centre, cell widths, summed

  double mean() const { return value / count; }
  /// What the samples scatter by; 0 of fewer than two.
  double variance() const;
};

/// One stretch's samples of one cell, summed: as in `CellTotals`.
struct PartTotals {
  double count = 0.0;
  double value = 0.0;
  double offset = 0.0;
};

/// A slow linear change of a light's level: it scales the light and is no flicker.
struct LevelSlope {
  double per_s = 0.0;  ///< of the level in the middle
  double middle_s = 0.0;

  bool none() const { return per_s == 0.0; }
  double out_of(double value, double t_s) const { return value / (1.0 + per_s * (t_s - middle_s)); }
};

/// How a window is folded.
struct FoldSettings {
  std::size_t cells = 0;  ///< 0 for as many as the samples fill
  LevelSlope level;       ///< that is divided out
};

/// A window folded on one rhythm: its whole cycles in stretches of equally many, the cycle in
/// cells. What the figures of a cycle are read from: the cells give the light's shape, and the
/// stretches, which saw the same shape, tell by how much each figure is uncertain.
struct PhaseTable {
  std::size_t stretches = 0;
  std::size_t cells = 0;
  double stretch_s = 0.0;
  std::vector<PartTotals> part;  ///< of cell c in stretch s at [s * cells + c]
  std::vector<CellTotals> total;
  double samples = 0.0;
  double middle = 0.0;        ///< mean of the samples
  double noise_sd = 0.0;      ///< of one sample: most cells' scatter
  double sample_turns = 0.0;  ///< from one sample to the next
  double phase_gap = 0.0;     ///< widest between neighbouring sampled phases, turns
  double step = 0.0;          ///< of a converter whose codes the samples are; 0 when none shows

  double count_in(std::size_t stretch, std::size_t cell) const {
    return part[stretch * cells + cell].count;
  }
  double value_in(std::size_t stretch, std::size_t cell) const {
    return part[stretch * cells + cell].value;
  }
  double offset_in(std::size_t stretch, std::size_t cell) const {
    return part[stretch * cells + cell].offset;
  }
};

/// Folds the window's whole cycles. Empty for fewer than three cycles or six samples, and for a
/// rhythm or samples that are not finite.
std::optional<PhaseTable> fold(const Window& window, const Rhythm& rhythm,
                               const FoldSettings& settings = {});

/// Width of the widest gap between the phases 0, a, 2a ... of `samples` samples, `a` turns apart,
/// turns: there are gaps of two or three widths only (Sós, Ann. Univ. Sci. Budapest. Eötvös Sect.
/// Math. 1, 1958). `samples` >= 1.
double widest_phase_gap(double turns_a_sample, double samples);

}  // namespace lampbeat::signal::cycle
