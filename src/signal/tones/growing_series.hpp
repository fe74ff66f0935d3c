#pragma once

#include <map>
#include <optional>
#include <vector>

#include "signal/tones/line_field.hpp"

namespace lampbeat::signal::tones {

/// A fundamental while its members are being gathered.
struct GrowingSeries {
  double hz = 0.0;
  double weight = 0.0;     ///< inverse variance of hz
  double strongest = 0.0;  ///< amplitude of the strongest member seen in the open
  bool mains = false;
  bool even_orders_only = true;
  std::map<int, double> member_amplitude;  ///< by order

  double hz_sd() const;
  /// Only these multiples are looked for: half waves that are alike leave no odd ones.
  int order_step() const { return mains && even_orders_only ? 2 : 1; }
  /// Takes in a member seen in the open, at its own place.
  void learn(double seen_hz, double seen_sd, int order, double amplitude);
};

/// A line and the order it has in a series.
struct Start {
  std::size_t line = 0;
  int order = 1;
};

/// What has been sorted so far.
struct Sorting {
  explicit Sorting(std::size_t lines) : taken(lines, false) {}
  std::vector<bool> taken;  ///< of the field's lines
  std::vector<GrowingSeries> series;
  std::vector<lines::TiedLine> members;  ///< of all series, by their place in `series`

  void take(std::size_t line, const lines::TiedLine& as);
};

/// How far a line may lie from where order `order` of a series must be.
double tolerance_hz(const LineField& field, std::size_t line, const GrowingSeries& series,
                    double order);

/// Ripple falls off with its order at least as fast as edges make it. A tone stronger than that at
/// a high multiple of the mains is a light's own rhythm until the figures prove otherwise.
bool weak_enough(const LineField& field, std::size_t line, const GrowingSeries& series,
                 double order);

/// The order at which a line fits a series in the open, below half the sampling rate.
std::optional<int> order_in(const LineField& field, std::size_t line, const GrowingSeries& series);

/// Starts a series with one line and gathers all its members in the open that were not taken yet.
void open_series(const LineField& field, Sorting& sorting, GrowingSeries series, Start start);

}  // namespace lampbeat::signal::tones
