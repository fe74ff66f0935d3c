#include "signal/cycle/curve_clock.hpp"

#include <algorithm>
#include <cmath>

#include "arithmetic/phase.hpp"
#include "signal/cycle/stretch_phases.hpp"

namespace lampbeat::signal::cycle {
namespace {

/// Turns by which a folded cycle is ahead of a curve that it resembles, by least squares over the
/// curve's slopes and, apart from them, its edges.
ClockFigure turns_ahead(const FoldedRhythm& folded, const PhaseCurve& of) {
  double products[2] = {};
  double squares[2] = {};
  const PhaseCurve& curve = folded.curve;
  for (std::size_t c = 0; c < std::min(of.value.size(), curve.value.size()); ++c) {
    const double weight = std::min(of.count[c], curve.count[c]);
    if (weight == 0.0) continue;
    const std::size_t part = of.edge[c] || curve.edge[c] ? 1 : 0;
    products[part] += weight * of.slope[c] * (curve.value[c] - of.value[c]);
    squares[part] += weight * of.slope[c] * of.slope[c];
  }
  const auto figure = [&](std::size_t part, double sd) {
    if (!(squares[part] > 0.0)) return ClockFigure{0.0, HUGE_VAL};
    return ClockFigure{products[part] / squares[part], sd};
  };
  return told_together(figure(0, folded.phase_sd_by_slopes), figure(1, folded.phase_sd_by_edges));
}

}  // namespace

double CurveClock::expected_turns(const WindowTime& window) const {
  const double elapsed_s = window.centre_s() - origin_s_;
  return origin_turns_ + clock_.reference_hz() * elapsed_s +
         clock_.expected_shift_rad(elapsed_s) / arithmetic::turn;
}

Rhythm CurveClock::expected(Rhythm rhythm, const WindowTime& window) const {
  if (reference_.value.empty()) return rhythm;
  rhythm.hz = clock_.last().hz;
  const double turns = expected_turns(window) - rhythm.hz * window.duration_s / 2.0;
  rhythm.phase_rad = arithmetic::turn * arithmetic::begun_turn(turns);
  return rhythm;
}

std::optional<tones::LongTermFrequency> CurveClock::result() const {
  return edges_tell_ ? clock_.result() : std::nullopt;
}

double CurveClock::slide_hz() const {
  const double seconds = end_s_ - origin_s_;
  return seconds > 0.0 ? slide_turns_ / seconds : 0.0;
}

void CurveClock::add(const FoldedRhythm& folded, const Rhythm& rhythm, const WindowTime& window) {
  const double centre_turns =
      rhythm.phase_rad / arithmetic::turn + folded.folded_with_hz * window.duration_s / 2.0;
  edges_tell_ = edges_tell_ && folded.edges_tell;
  slide_turns_ = std::max(slide_turns_, folded.slide_turns);
  end_s_ = window.start_s + window.duration_s;
  tones::ClockReading reading;
  reading.hz = folded.hz;
  reading.hz_sd = folded.hz_sd;
  const bool first = reference_.value.empty();
  if (first) {
    reference_ = folded.curve;
    origin_s_ = window.centre_s();
    origin_turns_ = centre_turns;
    clock_.set_reference(folded.hz);
  }
  const ClockFigure ahead = turns_ahead(folded, reference_);
  reading.shift_sd_rad = arithmetic::turn * ahead.sd;
  if (!first) {
    reading.elapsed_s = window.centre_s() - origin_s_;
    const double off = centre_turns + ahead.value - expected_turns(window);
    reading.shift_rad = clock_.expected_shift_rad(reading.elapsed_s) +
                        arithmetic::turn * arithmetic::wrapped_turns(off);
  }
  clock_.add(reading);
}

}  // namespace lampbeat::signal::cycle
