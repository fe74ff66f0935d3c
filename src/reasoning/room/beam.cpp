#include "reasoning/room/beam.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "reasoning/room/vectors.hpp"

namespace lampbeat::reasoning::room {
namespace {

using std::numbers::pi;

constexpr double lambert_half_rad = pi / 3.0;  // cos 60° = ½

double half_angle_rad(const Fixture& fixture) {
  return fixture.half_angle_deg ? *fixture.half_angle_deg * pi / 180.0 : lambert_half_rad;
}

}  // namespace

double intensity_cd(const Fixture& fixture, const Vector3& direction) {
  const double lumens = fixture.lumens * fixture.dim;
  if (fixture.bare) {
    // ∫ sin θ over the sphere is π².
    const double along = dot(fixture.along, direction);
    return lumens / (pi * pi) * std::sqrt(std::max(0.0, 1.0 - along * along));
  }
  const double ahead = dot(fixture.aim, direction);
  if (!(ahead > 0.0)) return 0.0;
  // ∫ cosⁿ θ over the half space ahead is 2π / (n + 1); with n = 1 this is Lambert's law.
  const double n =
      fixture.half_angle_deg ? std::log(0.5) / std::log(std::cos(half_angle_rad(fixture))) : 1.0;
  return lumens * (n + 1.0) / (2.0 * pi) * std::pow(ahead, n);
}

double beam_width_rad(const Fixture& fixture) {
  return fixture.bare ? lambert_half_rad : half_angle_rad(fixture);
}

}  // namespace lampbeat::reasoning::room
