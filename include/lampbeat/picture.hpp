#pragma once

#include <string>

#include "lampbeat/footage.hpp"
#include "lampbeat/prediction.hpp"
#include "lampbeat/room.hpp"

namespace lampbeat {

/// The predicted frame (`least_favourable_rows`) as PNG bytes: left the wall as the camera would
/// record it, right the same wall under steady light, a neutral gap between. 960 × 540, 16-bit grey
/// in the sRGB transfer, so that on a screen the light of each row stands to the steady wall's as
/// predicted; the wall itself is at 40 % of white, and what exceeds white is shown white.
std::string predicted_frame_png(const Prediction& prediction);

/// A frame of a clip as PNG bytes, 8-bit grey; empty for an empty picture.
std::string clip_picture_png(const ClipPicture& picture);

/// The map of a room as PNG bytes, at most 1600 × 1500 pixels: the floor from above, the corner all
/// is measured from at the bottom left, metres along the walls; each cell in the pattern of its
/// verdict, those words beneath; fixtures numbered (tubes and strips as lines of their length) and
/// places lettered, "A" the first, in the order of the room. Names stand beside them where all
/// their letters are ASCII and there is room. Empty without a map.
std::string room_map_png(const RoomResult& room);

}  // namespace lampbeat
