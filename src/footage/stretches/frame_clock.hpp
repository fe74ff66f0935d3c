#pragma once

#include <cstddef>
#include <optional>
#include <vector>

namespace lampbeat::footage::stretches {

/// Where frames belong by the times a file gives them, in frame periods. Files without times, and
/// those that number their frames evenly whatever happened, leave it to the pattern to tell.
class FrameClock {
 public:
  /// Frames missing between the one before and this one, taken at so many periods.
  std::size_t missing_before(std::optional<double> period);
  /// The frames since the last stretch began stand close enough to whole periods for their pattern
  /// to be followed through them.
  bool even() const;
  /// Forgets them; the next stretch begins with the latest frame.
  void begin_stretch();

 private:
  struct Place {
    double slot = 0.0;  ///< whole periods, counted
    double time = 0.0;  ///< periods, as the file says
  };
  std::vector<Place> places_;
  bool broken_ = false;
};

}  // namespace lampbeat::footage::stretches
