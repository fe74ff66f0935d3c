#include "reasoning/shutters/spoiler.hpp"

#include <algorithm>
#include <span>

#include "reasoning/shutters/habits.hpp"

namespace lampbeat::reasoning::shutters {

namespace {

/// Those habits that are clean at every frame rate whose frame is long enough, of these lights.
std::vector<std::string> clean_habits(const ShutterPlan& like, std::span<const LightShare> lights) {
  PlanRequest request;
  for (const FrameRateOutlook& outlook : like.outlooks) request.frame_rates.push_back(outlook.fps);
  request.available.assign(habits.begin(), habits.end());
  request.readout_s = like.readout_s;
  request.rows = like.rows;
  request.options = like.options;
  const ShutterPlan plan = plan_shutters(lights, request);
  std::vector<std::string> clean;
  for (const std::string_view habit : habits) {
    const auto is_it = [&](const Setting& s) { return s.label == habit; };
    const auto of_it = std::count_if(plan.settings.begin(), plan.settings.end(), is_it);
    const auto clean_of_it =
        std::count_if(plan.settings.begin(), plan.settings.end(),
                      [&](const Setting& s) { return is_it(s) && is_clean(s.worst); });
    if (of_it > 0 && clean_of_it == of_it) clean.emplace_back(habit);
  }
  return clean;
}

}  // namespace

std::optional<Spoiler> spoiler_of(const ShutterPlan& plan) {
  constexpr std::size_t most_lights = 6;  // each is left out once
  const bool hopeless = std::none_of(plan.outlooks.begin(), plan.outlooks.end(),
                                     [](const FrameRateOutlook& o) { return o.any_clean; });
  if (!hopeless || plan.outlooks.empty() || plan.lights.size() < 2 ||
      plan.lights.size() > most_lights) {
    return std::nullopt;
  }
  std::optional<Spoiler> found;
  for (std::size_t i = 0; i < plan.lights.size(); ++i) {
    std::vector<LightShare> others = plan.lights;
    others.erase(others.begin() + static_cast<std::ptrdiff_t>(i));
    std::vector<std::string> serving = clean_habits(plan, others);
    if (serving.empty()) continue;
    if (found) return std::nullopt;  // either would do: neither is to blame
    found = {plan.lights[i].light.name, std::move(serving)};
  }
  return found;
}

}  // namespace lampbeat::reasoning::shutters
