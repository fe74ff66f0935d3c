#pragma once

#include <cmath>

#include "lampbeat/room.hpp"

namespace lampbeat::reasoning::room {

inline Vector3 plus(const Vector3& a, const Vector3& b) {
  return {a.x + b.x, a.y + b.y, a.z + b.z};
}
inline Vector3 minus(const Vector3& a, const Vector3& b) {
  return {a.x - b.x, a.y - b.y, a.z - b.z};
}
inline Vector3 times(double factor, const Vector3& v) {
  return {factor * v.x, factor * v.y, factor * v.z};
}
inline double dot(const Vector3& a, const Vector3& b) { return a.x * b.x + a.y * b.y + a.z * b.z; }
inline double length(const Vector3& v) { return std::hypot(v.x, v.y, v.z); }

}  // namespace lampbeat::reasoning::room
