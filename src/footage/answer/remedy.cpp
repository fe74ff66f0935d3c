#include "footage/answer/remedy.hpp"

#include <algorithm>
#include <cmath>

namespace lampbeat::footage::answer {

namespace {

// Rhythms of the mains are multiples of its 50 or 60 Hz that lamps double: 100, 120, 200, 240 ...
constexpr double multiples_hz = 20.0;
// Share by which mains may be off its nominal frequency (EN 50160: 1 %).
constexpr double near_enough = 0.01;
// Share of a frame: 1000/1001, by which rates of television differ from whole ones, makes frames
// longer by as much.
constexpr double all_but_whole = 1e-3;

/// The frequency the light has nominally: shutters are marked for that, not for today's mains.
double nominal_hz(double hz) {
  const double whole = std::round(hz);
  const bool of_mains = std::fmod(whole, multiples_hz) == 0.0;
  return of_mains && std::abs(hz - whole) < near_enough * whole ? whole : hz;
}

/// Exposures of whole cycles that fit the frame: the shortest, and the one nearest to half a frame,
/// as films are commonly shot; of a still, which has no frame, the two shortest.
std::vector<double> whole_cycles_s(double hz, std::optional<FrameRate> rate) {
  if (!rate) return {1.0 / hz, 2.0 / hz};
  const double frame = rate->frame_s() * hz;  // cycles
  const double most = std::floor(frame * (1.0 + all_but_whole));
  if (most < 1.0) return {};
  const double usual = std::clamp(std::round(0.5 * frame), std::min(2.0, most), most);
  if (usual < 2.0) return {1.0 / hz};
  return {1.0 / hz, usual / hz};
}

}  // namespace

std::optional<Remedy> remedy_of(const Answer& answer, std::optional<FrameRate> rate) {
  if (!answer.judgement || answer.judgement->verdict == Verdict::clean) return std::nullopt;
  Remedy remedy;
  const auto& lights = answer.light.lights;
  const auto believed = std::find_if(lights.begin(), lights.end(),
                                     [](const LightCandidate& c) { return c.plausible; });
  if (believed == lights.end()) return remedy;
  remedy.light_hz = nominal_hz(believed->hz);
  remedy.exposures_s = whole_cycles_s(*remedy.light_hz, rate);
  remedy.of_deepest_alone = answer.diagnosis.waves.size() > 1;
  return remedy;
}

}  // namespace lampbeat::footage::answer
