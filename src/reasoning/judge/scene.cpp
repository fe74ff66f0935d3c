#include "reasoning/judge/scene.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "lampbeat/banding.hpp"
#include "reasoning/mixture/mains.hpp"

namespace lampbeat {

double clock_tolerance_percent(const Light& light) {
  constexpr double common_practice = 1.0;
  return std::max(common_practice, 3.0 * light.clock_spread_percent);
}

namespace reasoning::judge {
namespace {

/// Sidebands are looked for up to this multiple of the mains beside a free-running line: beyond it
/// rectified mains ripples by less than 2 % of its strongest order (3 / (4k² − 1) with k = 6).
constexpr int highest_sideband = 12;

/// Which multiple of the mains lies between two lines; 0 when none does.
int mains_multiple(double apart_hz, double mains_hz) {
  const double multiple = std::nearbyint(apart_hz / mains_hz);
  if (multiple == 0.0 || std::abs(multiple) > highest_sideband) return 0;
  constexpr double read_to_hz = 0.02;    // what frequencies from captures of seconds are good to
  constexpr double clock_spread = 2e-4;  // and the mains over such a capture
  const double off_hz = std::abs(apart_hz - multiple * mains_hz);
  const double play_hz = std::max(read_to_hz, clock_spread * std::abs(multiple) * mains_hz);
  return off_hz <= play_hz ? int(multiple) : 0;
}

/// A lone line that stands a multiple of the mains beside a stronger one, where a dimmer's
/// switching and the ripple of its supply multiply: it moves with both clocks.
void tie_sidebands(std::vector<MovingSeries>& free, double mains_hz) {
  for (MovingSeries& side : free) {
    if (side.harmonics.size() != 1) continue;
    const double side_hz = side.own_hz * side.harmonics[0].order;
    for (const MovingSeries& carrier : free) {
      if (&carrier == &side || carrier.side_hz != 0.0) continue;
      for (const mixture::Harmonic& h : carrier.harmonics) {
        if (std::abs(h.amplitude) <= std::abs(side.harmonics[0].amplitude)) continue;
        const double carrier_hz = carrier.own_hz * h.order;
        const int multiple = mains_multiple(side_hz - carrier_hz, mains_hz);
        if (multiple == 0) continue;
        side.own_hz = carrier_hz;
        side.side_hz = side_hz - carrier_hz;
        side.harmonics[0].order = 1;
        side.clock = carrier.clock;
        break;
      }
      if (side.side_hz != 0.0) break;
    }
  }
}

void add_light(Scene& scene, const LightShare& l, const Tolerances& tolerances) {
  LightShare free_part{Light{}, l.share};
  for (const LightComponent& c : l.light.components) {
    if (!(l.light.mains_hz && c.mains_order)) free_part.light.components.push_back(c);
  }
  if (free_part.light.components.size() < l.light.components.size()) {
    if (auto locked = mixture::locked_series(l)) {
      scene.rhythms.push_back(
          {locked->hz, 0.0, 0, std::move(locked->harmonics), {}, false, {}, locked->any_waveform});
    }
  }
  const double off = 0.01 * tolerances.clock_percent.value_or(clock_tolerance_percent(l.light));
  std::vector<MovingSeries> free;
  for (mixture::Series& rhythm : mixture::series_of({&free_part, 1})) {
    free.push_back({rhythm.hz,
                    0.0,
                    scene.clocks.size() + free.size(),
                    std::move(rhythm.harmonics),
                    {},
                    false,
                    {},
                    l.light.any_waveform});
  }
  scene.clocks.resize(scene.clocks.size() + free.size(), {-off, off});
  std::stable_sort(free.begin(), free.end(), [](const MovingSeries& a, const MovingSeries& b) {
    return mixture::strongest_amplitude(a.harmonics) > mixture::strongest_amplitude(b.harmonics);
  });
  if (scene.mains_hz) tie_sidebands(free, *scene.mains_hz);
  for (MovingSeries& rhythm : free) scene.rhythms.push_back(std::move(rhythm));
  for (const UnexplainedLight& u : l.light.unexplained) {
    // The crest of a sine of this rms, at whatever frequency of the band does most. Slower than
    // half a cycle in a clip nothing beats.
    const double from_hz = std::max(u.from_hz, 0.5 / clip_s);
    const double to_hz = std::max(u.to_hz, 1.001 * from_hz);
    const double middle_hz = 0.5 * (from_hz + to_hz);
    const double reach = (to_hz - from_hz) / (to_hz + from_hz);
    scene.rhythms.push_back({middle_hz,
                             0.0,
                             scene.clocks.size(),
                             {{1, l.share * std::numbers::sqrt2 * u.rms}},
                             {},
                             true,
                             {},
                             false});
    scene.clocks.push_back({-reach, reach});
  }
}

/// One light's other faces: what the state is called, and the light in it.
struct Face {
  std::string what;
  Light light;
  bool worst_case_only = false;
};

/// The nominal mains this frequency, or half of it, is within a poor clock's error of.
std::optional<double> mains_near(double hz) {
  constexpr double ceramic_resonator = 0.005;  // a logger's clock, per a trade table
  for (const double mains_hz : {50.0, 60.0}) {
    for (const int order : {1, 2}) {
      if (std::abs(hz / (order * mains_hz) - 1.0) <= ceramic_resonator) return mains_hz;
    }
  }
  return std::nullopt;
}

/// The same light with the series that looked free tied to the mains it nearly keeps to.
std::optional<Face> as_locked(const Light& light) {
  if (light.mains_hz) return std::nullopt;
  const auto near = std::find_if(light.components.begin(), light.components.end(),
                                 [](const LightComponent& c) { return mains_near(c.hz); });
  if (near == light.components.end()) return std::nullopt;
  const double mains_hz = *mains_near(near->hz);
  const double seen_hz = near->hz / std::nearbyint(near->hz / mains_hz);
  Face face{"taken as locked to the mains", light, false};
  face.light.mains_hz = mains_hz;
  for (LightComponent& c : face.light.components) {
    const double order = std::nearbyint(c.hz / seen_hz);
    if (order < 1.0 || std::abs(c.hz - order * seen_hz) > 1e-4 * c.hz) continue;
    c.mains_order = static_cast<int>(order);
    c.hz = order * mains_hz;
  }
  return face;
}

std::vector<Face> faces_of(const Light& light) {
  std::vector<Face> faces;
  const std::vector<Light> states = states_of(light);
  for (std::size_t i = 0; i < states.size(); ++i) {
    if (i == 0) {
      faces.push_back({"", states[i], false});
    } else {
      const LightState& other = light.other_states[i - 1];
      faces.push_back({other.what, states[i], other.worst_case_only});
    }
  }
  for (std::size_t i = 0; i < states.size(); ++i) {
    if (auto locked = as_locked(states[i])) {
      locked->worst_case_only = faces[i].worst_case_only;
      faces.push_back(std::move(*locked));
    }
  }
  return faces;
}

/// Which of its faces each light shows.
using Choice = std::vector<std::size_t>;

std::vector<Choice> choices_of(const std::vector<std::vector<Face>>& faces) {
  constexpr std::size_t most_together = 32;
  std::size_t together = 1;
  for (const auto& of_light : faces)
    together = std::min(together * of_light.size(), 2 * most_together);
  std::vector<Choice> choices = {Choice(faces.size(), 0)};
  for (std::size_t light = 0; light < faces.size(); ++light) {
    const std::size_t so_far = together <= most_together ? choices.size() : 1;
    for (std::size_t face = 1; face < faces[light].size(); ++face) {
      for (std::size_t i = 0; i < so_far; ++i) {
        Choice other = choices[i];
        other[light] = face;
        choices.push_back(std::move(other));
      }
    }
  }
  return choices;
}

std::optional<double> own_mains(std::span<const LightShare> lights) {
  for (const LightShare& l : lights) {
    if (mixture::has_locked_part(l.light)) return l.light.mains_hz;
  }
  return std::nullopt;
}

}  // namespace

void learn_swing(MovingSeries& rhythm) {
  rhythm.swing = SwingTable(rhythm.harmonics, rhythm.any_waveform);
  rhythm.strengths.clear();
  for (const mixture::Harmonic& h : rhythm.harmonics) {
    rhythm.strengths.push_back(std::abs(h.amplitude));
  }
}

double fundamental_hz(const MovingSeries& rhythm, std::span<const double> offsets) {
  return rhythm.own_hz * (1.0 + offsets[rhythm.clock]) + rhythm.side_hz * (1.0 + offsets[0]);
}

Scene scene_of(std::span<const LightShare> lights, std::optional<double> mains_hz,
               const Tolerances& tolerances) {
  Scene scene;
  scene.mains_hz = mains_hz;
  scene.clocks.push_back({});
  if (mains_hz) {
    const double off =
        tolerances.mains_hz.value_or(default_mains_tolerance_hz(*mains_hz)) / *mains_hz;
    // A tolerance beyond the frequency itself has no meaning below nothing.
    scene.clocks[0] = {-std::min(off, 0.99), off};
  }
  for (const LightShare& l : lights) add_light(scene, l, tolerances);
  for (MovingSeries& r : scene.rhythms) learn_swing(r);
  return scene;
}

std::vector<Scene> scenes_of(std::span<const LightShare> lights, std::optional<double> mains_hz,
                             const Tolerances& tolerances) {
  std::vector<std::vector<Face>> faces;
  for (const LightShare& l : lights) faces.push_back(faces_of(l.light));
  std::vector<Scene> scenes;
  for (const Choice& choice : choices_of(faces)) {
    std::vector<LightShare> shown;
    std::string what;
    bool worst_case_only = false;
    for (std::size_t i = 0; i < lights.size(); ++i) {
      const Face& face = faces[i][choice[i]];
      worst_case_only = worst_case_only || face.worst_case_only;
      shown.push_back({face.light, lights[i].share});
      if (choice[i] == 0) continue;
      what += (what.empty() ? "" : ", ") + ("'" + face.light.name + "' " + face.what);
    }
    const std::optional<double> mains = mains_hz ? mains_hz : own_mains(shown);
    if (mains) shown = mixture::all_retuned(shown, *mains);
    scenes.push_back(scene_of(shown, mains, tolerances));
    scenes.back().state = what;
    scenes.back().worst_case_only = worst_case_only;
  }
  return scenes;
}

}  // namespace reasoning::judge
}  // namespace lampbeat
