#include "reasoning/judge/unseen.hpp"

#include <algorithm>

namespace lampbeat::reasoning::judge {

std::vector<Scene> unseen_scenes(const Room& room) {
  std::vector<Scene> scenes;
  for (const LightShare& l : room.lights) {
    double noise_percent = l.light.noise_percent;
    for (const LightState& state : l.light.other_states) {
      noise_percent = std::max(noise_percent, state.noise_percent);
    }
    if (!(noise_percent > 0.0)) continue;
    LightShare ripple{Light{}, l.share};
    ripple.light.mains_hz = room.mains_hz;
    ripple.light.components.push_back({100.0, 0.01 * noise_percent, 0.0, {}});
    if (room.mains_hz) {
      ripple.light.components[0].hz = 2.0 * *room.mains_hz;
      ripple.light.components[0].mains_order = 2;
    }
    scenes.push_back(scene_of({&ripple, 1}, room.mains_hz, room.tolerances));
  }
  return scenes;
}

}  // namespace lampbeat::reasoning::judge
