#include <algorithm>
#include <cmath>

#include "reasoning/room/beam.hpp"
#include "reasoning/room/vectors.hpp"

namespace lampbeat {
namespace {

using namespace reasoning::room;

/// Nearer than this no lamp is a point, nor a line.
constexpr double nearest_m = 0.01;

/// A part of the fixture, at `from_m`, gives this much light to the surface.
double lux_from(const Fixture& fixture, const Vector3& from_m, const Vector3& at_m,
                const Vector3& facing) {
  const Vector3 ray = minus(at_m, from_m);
  const double distance_m = length(ray);
  if (!(distance_m > 0.0)) return 0.0;
  const Vector3 direction = times(1.0 / distance_m, ray);
  const double incidence = -dot(direction, facing);
  if (!(incidence > 0.0)) return 0.0;  // it shines on the back
  const double counted_m = std::max(distance_m, nearest_m);
  return intensity_cd(fixture, direction) * incidence / (counted_m * counted_m);
}

/// Where along the tube what it sends to the surface may bend: its ends, and where it enters the
/// half space it shines into or the one the surface looks at.
std::vector<double> bends_m(const Fixture& fixture, const Vector3& at_m, const Vector3& facing) {
  const double end_m = 0.5 * fixture.length_m;
  std::vector<double> all = {-end_m, end_m};
  const Vector3 ray = minus(at_m, fixture.at_m);
  for (const Vector3& normal : {fixture.aim, facing}) {
    const double crossed_m = dot(ray, normal) / dot(fixture.along, normal);
    if (crossed_m > -end_m && crossed_m < end_m) all.push_back(crossed_m);
  }
  std::sort(all.begin(), all.end());
  return all;
}

/// A part of the tube, in lux × metres, in steps of this part of their distance to the surface and
/// of its own length.
double lux_metres(const Fixture& fixture, double from_m, double to_m, const Vector3& at_m,
                  const Vector3& facing, double step) {
  const auto part_at = [&](double along_m) {
    return plus(fixture.at_m, times(along_m, fixture.along));
  };
  const double widest_m = step * (to_m - from_m);
  double sum = 0.0;
  while (from_m < to_m) {
    const double distance_m = std::max(nearest_m, length(minus(at_m, part_at(from_m))));
    const double next_m = std::min(to_m, from_m + std::min(widest_m, step * distance_m));
    if (!(next_m > from_m)) break;
    sum += (next_m - from_m) * lux_from(fixture, part_at(0.5 * (from_m + next_m)), at_m, facing);
    from_m = next_m;
  }
  return sum;
}

double lux_in_steps(const Fixture& fixture, const Vector3& at_m, const Vector3& facing,
                    double step) {
  const std::vector<double> bends = bends_m(fixture, at_m, facing);
  double sum = 0.0;
  for (std::size_t i = 1; i < bends.size(); ++i) {
    sum += lux_metres(fixture, bends[i - 1], bends[i], at_m, facing, step);
  }
  return sum / fixture.length_m;
}

/// How far the surface is from the nearest part of the fixture.
double apart_m(const Fixture& fixture, const Vector3& at_m) {
  const Vector3 ray = minus(at_m, fixture.at_m);
  const double end_m = 0.5 * fixture.length_m;
  const double along_m = std::clamp(dot(ray, fixture.along), -end_m, end_m);
  return length(minus(ray, times(along_m, fixture.along)));
}

/// Where the fixture shines most: the middle of its beam, or straight across a bare tube.
Vector3 straight_ahead(const Fixture& fixture) {
  const Vector3& along = fixture.along;
  if (!fixture.bare) {
    if (!(fixture.length_m > 0.0)) return fixture.aim;
    const Vector3 off_axis = minus(fixture.aim, times(dot(fixture.aim, along), along));
    constexpr double some = 1e-3;
    if (length(off_axis) > some) return times(1.0 / length(off_axis), off_axis);
  }
  const Vector3 across =
      std::abs(along.z) < 0.9 ? Vector3{along.y, -along.x, 0.0} : Vector3{0.0, along.z, -along.y};
  return times(1.0 / length(across), across);
}

double direct_lux(const Fixture& fixture, const Vector3& at_m, const Vector3& facing) {
  if (!gives_light(fixture)) return 0.0;
  // On the fixture itself there is no way from one to the other.
  constexpr double touching_m = 1e-6;
  if (apart_m(fixture, at_m) < touching_m) {
    const Vector3 ahead = straight_ahead(fixture);
    return direct_lux(fixture, plus(at_m, times(nearest_m, ahead)), times(-1.0, ahead));
  }
  if (!(fixture.length_m > 0.0)) return lux_from(fixture, fixture.at_m, at_m, facing);
  constexpr double settled = 1e-3;
  constexpr int most_halvings = 8;
  double step = 0.25 * std::min(1.0, beam_width_rad(fixture));
  double lux = lux_in_steps(fixture, at_m, facing, step);
  for (int i = 0; i < most_halvings; ++i) {
    step *= 0.5;
    const double finer = lux_in_steps(fixture, at_m, facing, step);
    const bool done = std::abs(finer - lux) <= settled * finer;
    lux = finer;
    if (done) break;
  }
  return lux;
}

/// The integrating sphere: what the walls got, and throw back again and again.
double reflected_lux(const Room& room, const Fixture& fixture) {
  const Vector3& s = room.size_m;
  const double faces_m2 = 2.0 * (s.x * s.y + s.y * s.z + s.z * s.x);
  const double back = room.reflected_share / (1.0 - room.reflected_share);
  return fixture.lumens * fixture.dim * back / faces_m2;
}

}  // namespace

bool gives_light(const Fixture& fixture) { return fixture.lumens * fixture.dim > 0.0; }

std::vector<FixtureShare> light_on(const Room& room, const Vector3& at_m, const Vector3& facing) {
  std::vector<FixtureShare> shares;
  for (std::size_t i = 0; i < room.fixtures.size(); ++i) {
    const Fixture& fixture = room.fixtures[i];
    shares.push_back({i, direct_lux(fixture, at_m, facing), reflected_lux(room, fixture), 0.0});
  }
  const double all_lux = illuminance_lux(shares);
  for (FixtureShare& s : shares) s.share = all_lux > 0.0 ? s.lux() / all_lux : 0.0;
  return shares;
}

double illuminance_lux(std::span<const FixtureShare> shares) {
  double lux = 0.0;
  for (const FixtureShare& s : shares) lux += s.lux();
  return lux;
}

}  // namespace lampbeat
