#pragma once

#include "lampbeat/room.hpp"

namespace lampbeat::reasoning::room {

/// The finest of the customary steps that makes a map of at most 400 cells.
double step_for(const Vector3& size_m);

/// The middles of the cells along one side of the room, of the part inside it.
std::vector<double> middles(double side_m, double step_m);

/// A map and what has to be known about it.
struct MapResult {
  RoomMap map;
  /// `photosensitive_caution` where whole frames would flash anywhere on it, `relies_on_phases`
  /// where a clean cell would not be clean with all fixtures in step.
  Findings cautions;
  Findings of_worst;  ///< the others `predict` has about its most visible cell
};

/// Every cell judged by itself. `request.map_height_m` is there and inside the room.
MapResult map_of(const Room& room, const RoomRequest& request);

}  // namespace lampbeat::reasoning::room
