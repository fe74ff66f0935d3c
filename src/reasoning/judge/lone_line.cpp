#include "reasoning/judge/lone_line.hpp"

namespace lampbeat::reasoning {

double bands_of_line(double contrast, double hz, const Shot& shot, const Viewing& viewing) {
  const Rhythm line{hz, {{1, contrast}}};
  return recorded({&line, 1}, {}, {contrast, 0.0}, shot, viewing).band_visibility;
}

double pulsing_of_line(double contrast, double hz, const Shot& shot, const Viewing& viewing) {
  const Rhythm line{hz, {{1, contrast}}};
  return recorded({}, {&line, 1}, {0.0, contrast}, shot, viewing).pulse_visibility;
}

}  // namespace lampbeat::reasoning
