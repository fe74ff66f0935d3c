#pragma once

#include <cmath>
#include <string>

#include "lampbeat/room.hpp"
#include "reasoning/predict_lights.hpp"

// Rooms for the tests, put together without a file.

namespace rooms {

/// Where a table top looks.
inline constexpr lampbeat::Vector3 up{0.0, 0.0, 1.0};

/// A shot, on a camera with a few usual shutters.
inline lampbeat::RoomRequest request_for(lampbeat::Shot shot) {
  lampbeat::RoomRequest request;
  request.shot = shot;
  request.available = {"1/50", "1/60", "1/100", "180deg"};
  return request;
}

/// A room so large and black that nothing comes back.
inline lampbeat::Room black_room() {
  lampbeat::Room room;
  room.size_m = {100.0, 100.0, 20.0};
  room.reflected_share = 0.0;
  return room;
}

inline lampbeat::Vector3 unit(lampbeat::Vector3 v) {
  const double length = std::hypot(v.x, v.y, v.z);
  return {v.x / length, v.y / length, v.z / length};
}

/// Evenly over the sphere.
inline lampbeat::Vector3 random_direction(std::mt19937& random) {
  const double z = lampbeat::test::between(random, -1.0, 1.0);
  const double turn = lampbeat::test::between(random, 0.0, 2.0 * std::numbers::pi);
  const double across = std::sqrt(1.0 - z * z);
  return {across * std::cos(turn), across * std::sin(turn), z};
}

inline lampbeat::Fixture lamp(const std::string& name, lampbeat::Light light,
                              lampbeat::Vector3 at_m, double lumens = 1000.0) {
  lampbeat::Fixture fixture;
  fixture.name = name;
  fixture.kind = light.name;
  fixture.light = std::move(light);
  fixture.at_m = at_m;
  fixture.lumens = lumens;
  return fixture;
}

/// A room of ordinary size with a few lamps of different kinds under its ceiling, anywhere.
inline lampbeat::Room random_room(std::mt19937& random, int lamps,
                                  const predict_lights::RandomLights& of = {}) {
  using lampbeat::test::between;
  lampbeat::Room room;
  room.size_m = {between(random, 3.0, 12.0), between(random, 3.0, 12.0), between(random, 2.3, 4.0)};
  room.reflected_share = between(random, 0.0, 0.8);
  for (int i = 0; i < lamps; ++i) {
    lampbeat::Light light = predict_lights::random_light(random, of);
    light.name = "kind " + std::to_string(i);
    room.fixtures.push_back(
        lamp("lamp " + std::to_string(i), std::move(light),
             {between(random, 0.0, room.size_m.x), between(random, 0.0, room.size_m.y),
              between(random, 2.0, room.size_m.z)},
             between(random, 300.0, 4000.0)));
  }
  return room;
}

}  // namespace rooms
