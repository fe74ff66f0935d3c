#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>

#include "lampbeat/room.hpp"
#include "reasoning/rooms.hpp"
#include "support/catch.hpp"

// How much light falls where, held against closed forms and against plain integration.

using namespace lampbeat;
using namespace rooms;
using lampbeat::test::between;
using lampbeat::test::draws;
using std::numbers::pi;

namespace {

double lux_on(const Room& room, Vector3 at_m, Vector3 facing = up) {
  return illuminance_lux(light_on(room, at_m, facing));
}

Room with(Fixture fixture) {
  Room room = black_room();
  room.fixtures.push_back(std::move(fixture));
  return room;
}

Fixture tube(double length_m, double lumens, double height_m) {
  Fixture fixture = lamp("tube", Light{}, {50.0, 50.0, height_m}, lumens);
  fixture.length_m = length_m;
  fixture.along = {1.0, 0.0, 0.0};
  return fixture;
}

double part_of(const Vector3& a, const Vector3& b) { return a.x * b.x + a.y * b.y + a.z * b.z; }

/// The same by the definitions, in so many even pieces and nothing of the library: flux through a
/// small surface is intensity × the solid angle it fills.
double integrated_lux(const Fixture& f, const Vector3& at_m, const Vector3& facing, int pieces) {
  double lux = 0.0;
  for (int i = 0; i < pieces; ++i) {
    const double s = f.length_m * ((i + 0.5) / pieces - 0.5);
    const Vector3 ray{at_m.x - f.at_m.x - s * f.along.x, at_m.y - f.at_m.y - s * f.along.y,
                      at_m.z - f.at_m.z - s * f.along.z};
    const double d = std::hypot(ray.x, ray.y, ray.z);
    const double incidence = -part_of(ray, facing) / d;
    const double ahead = part_of(ray, f.aim) / d;
    const double axial = part_of(ray, f.along) / d;
    double cd = 0.0;
    if (f.bare) {
      cd = f.lumens / (pi * pi) * std::sqrt(1.0 - axial * axial);
    } else if (ahead > 0.0) {
      const double n =
          f.half_angle_deg ? std::log(0.5) / std::log(std::cos(*f.half_angle_deg * pi / 180)) : 1.0;
      cd = f.lumens * (n + 1.0) / (2.0 * pi) * std::pow(ahead, n);
    }
    lux += cd * std::max(0.0, incidence) / (d * d) / pieces;
  }
  return lux;
}

}  // namespace

TEST_CASE("a point above a point: I cos³/h² (inverse square and cosine laws)") {
  // The form of worked examples in lighting handbooks, from memory: 1000 cd towards a point on the
  // floor 3 m below and 2 m aside make 1000 · cos³ 33.69° / 9 = 64.0 lx.
  const double theta = std::atan2(2.0, 3.0);
  const double lumens = pi * 1000.0 / std::cos(theta);  // by Lambert's law 1000 cd that way
  const Room room = with(lamp("panel", Light{}, {50.0, 50.0, 3.0}, lumens));
  CHECK(lux_on(room, {52.0, 50.0, 0.0}) == Approx(64.0).epsilon(5e-4));
  CHECK(lux_on(room, {52.0, 50.0, 0.0}) ==
        Approx(1000.0 * std::pow(std::cos(theta), 3) / 9.0).epsilon(1e-12));
  // Right below: half the distance, four times the light.
  CHECK(lux_on(room, {50.0, 50.0, 1.5}) == Approx(4.0 * lux_on(room, {50.0, 50.0, 0.0})));
  CHECK(lux_on(room, {50.0, 50.0, 0.0}) == Approx(lumens / (pi * 9.0)));
}

TEST_CASE("what shines on the back of a surface, or away from it, counts nothing") {
  const Room room = with(lamp("panel", Light{}, {50.0, 50.0, 3.0}));
  CHECK(lux_on(room, {50.0, 50.0, 1.0}, {0.0, 0.0, -1.0}) == 0.0);
  CHECK(lux_on(room, {50.0, 50.0, 5.0}) == 0.0);
  CHECK(lux_on(room, {50.0, 50.0, 5.0}, {0.0, 0.0, -1.0}) == 0.0);  // a panel does not shine up
}

TEST_CASE("every fixture sends out its lumens, whatever its beam") {
  const auto caught = [](const Fixture& fixture) {
    // A sphere of 2 m about it, by midpoints of angle, looking inwards.
    const Room room = with(fixture);
    constexpr int rings = 180;
    constexpr int places = 90;
    double lumens = 0.0;
    for (int i = 0; i < rings; ++i) {
      const double theta = pi * (i + 0.5) / rings;
      for (int j = 0; j < places; ++j) {
        const double phi = 2.0 * pi * (j + 0.5) / places;
        const Vector3 out{std::sin(theta) * std::cos(phi), std::sin(theta) * std::sin(phi),
                          std::cos(theta)};
        const Vector3 at{fixture.at_m.x + 2.0 * out.x, fixture.at_m.y + 2.0 * out.y,
                         fixture.at_m.z + 2.0 * out.z};
        lumens += lux_on(room, at, {-out.x, -out.y, -out.z}) * 4.0 * std::sin(theta) *
                  (pi / rings) * (2.0 * pi / places);
      }
    }
    return lumens;
  };
  Fixture fixture = lamp("lamp", Light{}, {50.0, 50.0, 10.0}, 1000.0);
  CHECK(caught(fixture) == Approx(1000.0).epsilon(2e-3));
  fixture.half_angle_deg = 25.0;
  CHECK(caught(fixture) == Approx(1000.0).epsilon(2e-3));
  fixture.half_angle_deg = 75.0;
  CHECK(caught(fixture) == Approx(1000.0).epsilon(5e-3));
  fixture.half_angle_deg.reset();
  fixture.bare = true;
  fixture.along = unit({1.0, 2.0, 0.5});
  CHECK(caught(fixture) == Approx(1000.0).epsilon(2e-3));
  fixture.dim = 0.25;
  CHECK(caught(fixture) == Approx(250.0).epsilon(2e-3));
}

TEST_CASE("a beam has half its intensity at its half angle, and 60° is Lambert's law") {
  Fixture spot = lamp("spot", Light{}, {50.0, 50.0, 3.0});
  spot.half_angle_deg = 20.0;
  const auto facing_it = [&](const Fixture& fixture, double angle_deg) {
    const double a = angle_deg * pi / 180.0;
    return lux_on(with(fixture), {50.0 + 2.0 * std::sin(a), 50.0, 3.0 - 2.0 * std::cos(a)},
                  {-std::sin(a), 0.0, std::cos(a)});
  };
  CHECK(facing_it(spot, 20.0) == Approx(0.5 * facing_it(spot, 0.0)));
  Fixture flat = spot;
  flat.half_angle_deg.reset();
  spot.half_angle_deg = 60.0;
  for (const double angle_deg : {0.0, 17.0, 48.0, 81.0}) {
    CHECK(facing_it(spot, angle_deg) == Approx(facing_it(flat, angle_deg)));
  }
}

TEST_CASE("a long tube lights as an infinite line does: one over the distance") {
  // Of φ lumens a metre: a bare tube fills the cylinder about it evenly, φ/(2πd); a flat strip
  // gives φ/(2d) right below, ∫ φ/π · cos² dα / d.
  constexpr double per_metre = 1000.0;
  for (const double distance_m : {0.3, 1.0, 2.5}) {
    Fixture line = tube(1000.0, 1000.0 * per_metre, 5.0);
    CHECK(lux_on(with(line), {50.0, 50.0, 5.0 - distance_m}) ==
          Approx(per_metre / (2.0 * distance_m)).epsilon(2e-3));
    line.bare = true;
    CHECK(lux_on(with(line), {50.0, 50.0, 5.0 - distance_m}) ==
          Approx(per_metre / (2.0 * pi * distance_m)).epsilon(2e-3));
  }
}

TEST_CASE("a finite strip below its middle: φ/(πd) · (α + sin α cos α)") {
  for (const double length_m : {0.1, 1.2, 6.0}) {
    const Fixture strip = tube(length_m, 1800.0, 3.0);
    const double distance_m = 1.1;
    const double alpha = std::atan2(0.5 * length_m, distance_m);
    CHECK(
        lux_on(with(strip), {50.0, 50.0, 3.0 - distance_m}) ==
        Approx(1800.0 / length_m / (pi * distance_m) * (alpha + std::sin(alpha) * std::cos(alpha)))
            .epsilon(2e-3));
  }
}

TEST_CASE("many points on a disc light as Lambert's disc: M sin²") {
  constexpr int rings = 30;
  constexpr double radius_m = 1.5;
  constexpr double lumens = 10000.0;
  Room room = black_room();
  for (int i = 0; i < rings; ++i) {
    const double r = radius_m * (i + 0.5) / rings;
    const int places = 6 * (2 * i + 1);  // so that each has the same area
    for (int j = 0; j < places; ++j) {
      const double turn = 2.0 * pi * (j + 0.3) / places;
      room.fixtures.push_back(lamp("p", Light{},
                                   {50.0 + r * std::cos(turn), 50.0 + r * std::sin(turn), 4.0},
                                   lumens / (6.0 * rings * rings)));
    }
  }
  for (const double below_m : {0.7, 2.0, 4.0}) {
    const double sin2 = radius_m * radius_m / (radius_m * radius_m + below_m * below_m);
    CHECK(lux_on(room, {50.0, 50.0, 4.0 - below_m}) ==
          Approx(lumens / (pi * radius_m * radius_m) * sin2).epsilon(2e-3));
  }
}

TEST_CASE("tubes of any kind anywhere agree with plain integration to 0.5 %") {
  std::mt19937 random(4101);
  for (int i = 0; i < draws(300); ++i) {
    Fixture fixture = tube(test::logarithmic(random, 0.05, 6.0), 2000.0, between(random, 2.0, 8.0));
    fixture.along = random_direction(random);
    fixture.aim = random_direction(random);
    fixture.bare = test::often(random, 0.3);
    if (!fixture.bare && test::often(random, 0.5)) {
      fixture.half_angle_deg = between(random, 5.0, 85.0);
    }
    const Vector3 out = random_direction(random);
    const double distance_m = test::logarithmic(random, 0.05, 6.0);
    const Vector3 at{fixture.at_m.x + distance_m * out.x, fixture.at_m.y + distance_m * out.y,
                     fixture.at_m.z + distance_m * out.z};
    const Vector3 facing = random_direction(random);
    const double truth = integrated_lux(fixture, at, facing, 200000);
    INFO("case " << i << ", " << distance_m << " m from " << fixture.length_m << " m");
    CHECK(std::abs(lux_on(with(fixture), at, facing) - truth) <= 5e-3 * truth + 1e-9);
  }
}

TEST_CASE("the room throws back Φρ/((1 − ρ)A) everywhere, by lumens") {
  Room room;
  room.size_m = {6.0, 4.0, 2.5};
  room.reflected_share = 0.6;
  room.fixtures = {lamp("a", Light{}, {1.0, 1.0, 2.5}, 1000.0),
                   lamp("b", Light{}, {5.0, 3.0, 2.5}, 3000.0)};
  room.fixtures[1].dim = 0.5;
  const double faces_m2 = 2.0 * (24.0 + 10.0 + 15.0);
  const auto shares = light_on(room, {3.0, 2.0, 1.0}, {0.0, 0.0, -1.0});  // nothing direct
  REQUIRE(shares.size() == 2);
  CHECK(shares[0].direct_lux == 0.0);
  CHECK(shares[0].reflected_lux == Approx(1000.0 * 0.6 / (0.4 * faces_m2)));
  CHECK(shares[1].reflected_lux == Approx(1500.0 * 0.6 / (0.4 * faces_m2)));
  CHECK(shares[0].share == Approx(0.4));
  CHECK(shares[1].share == Approx(0.6));
}

TEST_CASE("moving a point fixture straight away never raises its share") {
  std::mt19937 random(4102);
  for (int i = 0; i < draws(2000); ++i) {
    Room room = random_room(random, 4);
    Fixture& moved = room.fixtures[0];
    moved.aim = random_direction(random);
    if (test::often(random, 0.5)) moved.half_angle_deg = between(random, 5.0, 85.0);
    const Vector3 at{between(random, 0.0, room.size_m.x), between(random, 0.0, room.size_m.y),
                     between(random, 0.0, 1.5)};
    const Vector3 facing = random_direction(random);
    const double before = light_on(room, at, facing)[0].share;
    const double farther = between(random, 1.0, 3.0);
    moved.at_m = {at.x + farther * (moved.at_m.x - at.x), at.y + farther * (moved.at_m.y - at.y),
                  at.z + farther * (moved.at_m.z - at.z)};
    CHECK(light_on(room, at, facing)[0].share <= before * (1.0 + 1e-12));
  }
}

TEST_CASE("on a fixture itself it is as bright as a centimetre straight ahead of it") {
  std::mt19937 random(4207);
  for (int i = 0; i < draws(40); ++i) {
    Fixture point = lamp("spot", Light{}, {50.0, 50.0, 3.0}, between(random, 100.0, 5000.0));
    point.aim = random_direction(random);
    if (test::often(random, 0.5)) point.half_angle_deg = between(random, 5.0, 80.0);
    Fixture bare = point;
    bare.bare = true;
    bare.half_angle_deg.reset();
    bare.along = random_direction(random);
    Fixture strip = point;
    strip.length_m = between(random, 0.1, 2.0);
    strip.along = random_direction(random);
    const double n = point.half_angle_deg
                         ? std::log(0.5) / std::log(std::cos(*point.half_angle_deg * pi / 180))
                         : 1.0;
    const double most_cd = point.lumens * (n + 1.0) / (2.0 * pi);
    const Vector3 facing = random_direction(random);
    CHECK(lux_on(with(point), point.at_m, facing) == Approx(most_cd / 1e-4));
    CHECK(lux_on(with(bare), bare.at_m, facing) == Approx(bare.lumens / (pi * pi) / 1e-4));
    CHECK(lux_on(with(strip), strip.at_m, facing) > 0.0);
    strip.aim = strip.along;  // on its own axis there is nowhere to stand aside
    CHECK(std::isfinite(lux_on(with(strip), strip.at_m, facing)));
  }
}
