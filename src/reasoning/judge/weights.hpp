#pragma once

#include <map>
#include <memory>
#include <mutex>
#include <tuple>

#include "lampbeat/prediction.hpp"
#include "reasoning/bands/eye.hpp"

namespace lampbeat::reasoning::judge {

/// How visible a line is for each unit of its contrast, by frequency and frame rate, to one viewer:
/// the judge's second factor. May be shared by threads; those of
/// one viewer share what has been worked out.
class Weights {
 public:
  explicit Weights(const Viewing& viewing);

  const bands::Eye& eye() const { return known_->eye; }

  /// Visibility of the bands, and of the pulsing, that one line of this contrast makes by itself.
  double bands(double contrast, double hz, const Shot& shot) const;
  double pulsing(double contrast, double hz, const Shot& shot) const;

  /// No line makes more visible bands in this shot, for each unit of contrast.
  double most_bands(const Shot& shot) const;
  /// No line pulses more visibly at this frame rate, for each unit of contrast.
  double most_pulsing(FrameRate fps) const;

 private:
  struct Known {
    explicit Known(const Viewing& viewing) : eye(viewing) {}
    const bands::Eye eye;
    std::mutex in_use;
    std::map<double, double> most_pulsing;                         ///< by frames per second
    std::map<std::tuple<double, double, int>, double> most_bands;  ///< and by readout and rows
  };
  static std::shared_ptr<Known> known_to(const Viewing& viewing);

  std::shared_ptr<Known> known_;
};

}  // namespace lampbeat::reasoning::judge
