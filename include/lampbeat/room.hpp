#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "lampbeat/finding.hpp"
#include "lampbeat/light.hpp"
#include "lampbeat/prediction.hpp"
#include "lampbeat/shot.hpp"
#include "lampbeat/shutters.hpp"

// A room with many fixtures: what of whose light falls where, and where in it one can film. It is
// arithmetic with the positions somebody measured, no photometric design.

namespace lampbeat {

/// A position in metres from one corner of the floor, or a direction: x along the room's length, y
/// along its width, z up.
struct Vector3 {
  double x = 0.0;
  double y = 0.0;
  double z = 0.0;
};

/// The supply conductor a fixture hangs on: one of three phases, a third of a mains cycle apart, or
/// one of the two legs of a split-phase supply, half a cycle apart.
enum class Conductor { unknown, l1, l2, l3, a, b };
/// "L1", "L2", "L3", "A", "B"; empty for one that is not known.
const char* conductor_words(Conductor conductor);
/// The conductor of these words, whatever their capitals; empty for any others.
std::optional<Conductor> conductor_of(std::string_view words);

/// One fixture where it hangs.
struct Fixture {
  std::string name;
  Light light;       ///< measured, or typical of its kind
  std::string kind;  ///< what `light` is from, a file or a typical name: those of one beat alike
  Vector3 at_m;      ///< its middle, inside the room
  double length_m = 0.0;        ///< of a tube or strip, >= 0; 0 is a point
  Vector3 along;                ///< unit: the tube's axis; nothing of a point
  Vector3 aim{0.0, 0.0, -1.0};  ///< unit: where the middle of its beam points
  double lumens = 0.0;          ///< > 0, undimmed
  double dim = 1.0;             ///< 0 (off) ... 1
  /// The angle off the aim where the intensity is half, above 0 and below 90°. Empty: a flat
  /// source by Lambert's law, whose intensity is half at 60°.
  std::optional<double> half_angle_deg;
  bool bare = false;    ///< a tube without a reflector, shining all round its axis
  std::string circuit;  ///< the breaker's name for people; may be empty
  Conductor conductor = Conductor::unknown;
};

/// Whether any light comes from it: it may be switched off by its dim level.
bool gives_light(const Fixture& fixture);

/// Somewhere people film: a table top, a wall, a face.
struct Place {
  std::string name;
  Vector3 at_m;                   ///< inside the room
  Vector3 facing{0.0, 0.0, 1.0};  ///< unit: where its surface looks
};

/// The part of the light on its walls, floor and ceiling that a room throws back, taken where
/// nobody said: a light ceiling (0.7), walls (0.5) and a floor (0.2), by their areas. Common
/// practice, no source.
inline constexpr double usual_reflected_share = 0.5;

/// A room as a room file describes it.
struct Room {
  std::string name;  ///< of its file; may be empty
  /// The one that is meant. Empty: that of the first measured light that follows one, or else of
  /// the first typical one, of the fixtures that are lit; as its capture found it, with as much
  /// more tolerance as it ran beside its nominal frequency then (see PredictionOptions).
  std::optional<double> mains_hz;
  Vector3 size_m;                                  ///< length, width, height, each > 0
  double reflected_share = usual_reflected_share;  ///< 0 ... 0.95
  bool reflected_share_assumed = false;            ///< nobody said, it is the usual one
  std::vector<Fixture> fixtures;                   ///< at least one
  std::vector<Place> places;                       ///< may be empty when only a map is wanted
  Findings findings;                               ///< doubts about its file
};

/// One fixture's part of the light on a surface.
struct FixtureShare {
  std::size_t fixture = 0;  ///< index into Room::fixtures
  double direct_lux = 0.0;
  double reflected_lux = 0.0;
  double share = 0.0;  ///< of all light there, 0 ... 1; they sum to 1 where there is any
  double lux() const { return direct_lux + reflected_lux; }
};

/// The light on a small surface at `at_m` that looks along `facing` (unit), fixture by fixture, in
/// their order. Point by point: intensity × cosine of incidence / distance², by the inverse square
/// and cosine laws (IES Lighting Handbook, point method, from memory); a tube in as many steps as
/// change nothing by a thousandth when halved. Intensities from lumens Φ: by Lambert's law Φ/π
/// ahead; within a beam Φ(n + 1)/2π · cosⁿ with n = ln ½ / ln cos(half angle); of a bare tube
/// Φ/π² across its axis, with the sine of the angle to it. Reflected: Φ · ρ / ((1 − ρ) · A), A the
/// area of all six faces (integrating sphere). Nearer than a centimetre to a fixture counts as a
/// centimetre; on it, as a centimetre straight ahead of it, looking back at it.
std::vector<FixtureShare> light_on(const Room& room, const Vector3& at_m, const Vector3& facing);

/// What all of them make together.
double illuminance_lux(std::span<const FixtureShare> shares);

/// The lights that film sees on a surface with these shares, as they may be judged together.
/// Fixtures of one kind are one light: what follows the mains is added up with the phases of their
/// conductors (component of mains order k: k thirds of a turn from one phase to the next, k halves
/// from leg to leg), those on no known conductor apart from them, in step with each other, which is
/// the least favourable; so is what runs free. Between kinds nothing is known. Empty in the dark.
std::vector<LightShare> lights_on(const Room& room, std::span<const FixtureShare> shares);

/// A change to the room.
enum class RoomAction { switch_off, swap, move, add_steady_light };

/// What one change would do for one place.
struct RoomChange {
  RoomAction action = RoomAction::switch_off;
  std::optional<std::size_t> fixture;        ///< which one; empty for added light
  Conductor conductor = Conductor::unknown;  ///< where to move it
  std::optional<double> steady_lux;  ///< how much steady light on this place, proved to be enough
  Verdict verdict_after = Verdict::clean;  ///< of the worst case, as `predict` gives it then
  double visibility_after = 0.0;
  double illuminance_after_lux = 0.0;
};

/// In the words of the JSON: "switch off", "swap", "move to L2", "add steady light".
std::string action_words(const RoomChange& change);

/// What one place is good for.
struct PlaceResult {
  Place place;
  std::vector<FixtureShare> shares;  ///< brightest first; without fixtures that are off
  double illuminance_lux = 0.0;
  /// The shot under the light of this place; verdicts and limits take its `worst`. Empty where no
  /// light falls, which a finding says.
  std::optional<Prediction> prediction;
  std::vector<Setting> best;         ///< the best shutters at the shot's frame rate, best first
  std::optional<SlowerRate> slower;  ///< where no shutter is clean at this frame rate
  /// The best of each kind of change, most helpful first; empty where it is clean as it is.
  std::vector<RoomChange> changes;
  Findings findings;  ///< of this place alone
};

/// One cell of a map: what the shot records on a level surface in the middle of it.
struct MapCell {
  double x_m = 0.0, y_m = 0.0;  ///< where it was judged
  double illuminance_lux = 0.0;
  std::optional<double> visibility;  ///< of the worst case; empty where no light falls
  Verdict verdict = Verdict::clean;  ///< of the worst case, where there is a visibility
};

/// The worst case on level surfaces (facing up) all over the floor, each cell judged by itself.
struct RoomMap {
  double height_m = 0.0;  ///< above the floor
  /// Side of a cell, from the corner. Where the room is no multiple of it, the last cell of a row
  /// or column is narrower, and judged in the middle of what lies inside the room.
  double step_m = 0.0;
  std::vector<std::vector<MapCell>> cells;  ///< [row][column]: row along y, column along x
};

/// What is asked of a room.
struct RoomRequest {
  Shot shot;
  PredictionOptions options;           ///< `mains_hz` empty: the room's own
  std::vector<std::string> available;  ///< shutters on offer, see PlanRequest
  std::optional<double> map_height_m;  ///< 0 ... the room's height; empty: no map
};

struct RoomResult {
  Room room;
  Shot shot;
  PredictionOptions options;        ///< as judged; `mains_hz` is the room's, whoever named it
  std::vector<PlaceResult> places;  ///< in the order of the room
  std::optional<RoomMap> map;
  Findings findings;  ///< of the whole room: what was assumed, what it is not
};

/// Judges every place of a room, and the map where one is asked for.
/// Throws UsageError as predict does, and for a map above the ceiling.
RoomResult judge_room(const Room& room, const RoomRequest& request);

}  // namespace lampbeat
