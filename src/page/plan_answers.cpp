#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "lampbeat/advice.hpp"
#include "lampbeat/banding.hpp"
#include "lampbeat/clip.hpp"
#include "lampbeat/companions.hpp"
#include "lampbeat/html.hpp"
#include "lampbeat/json.hpp"
#include "lampbeat/typical.hpp"
#include "page/answers.hpp"
#include "page/figures.hpp"
#include "page/wall.hpp"
#include "reasoning/judge/judged_room.hpp"
#include "report/hidden_light.hpp"
#include "report/html/parts.hpp"
#include "report/plots/plots.hpp"
#include "report/visibility_words.hpp"
#include "words/numbers.hpp"
#include "words/units.hpp"

namespace lampbeat::page {
namespace {

std::string roll_words(const Recorded& r) {
  constexpr double standing_hz = 1e-4;  // a turn in three hours
  return std::abs(r.roll_hz) < standing_hz ? "stands still" : words::in_digits(r.roll_hz) + " Hz";
}

Json figures_of(const Prediction& p) {
  const Recorded& r = p.nominal;
  const auto verdict = [](const char* key, const char* name, Verdict v) {
    return Json{
        {"key", key}, {"name", name}, {"value", verdict_word(v)}, {"words", verdict_word(v)}};
  };
  return {
      verdict("verdict", "verdict, every clock as measured", r.verdict),
      verdict("worst.verdict", "verdict at worst", p.worst.verdict),
      figure("band_percent", "bands", r.band_percent, words::percent(r.band_percent)),
      figure("visibility", "visibility, 1 = just visible", r.visibility,
             report::visibility_words(r.visibility)),
      figure("worst.visibility", "visibility at worst", p.worst.visibility,
             report::visibility_words(p.worst.visibility)),
      figure("pulse_percent", "pulsing of the whole picture", r.pulse_percent,
             words::percent(r.pulse_percent)),
      figure("bands_per_frame", "bands over the picture", r.bands_per_frame,
             words::in_digits_at_most(r.bands_per_frame)),
      figure("roll_hz", "roll", r.roll_hz, roll_words(r)),
  };
}

Prediction predicted(const Asked& asked) {
  return predict(asked.lights, shot_asked_for(asked), asked.options);
}

/// Of the strip: evenly apart in stops, the whole frame last.
double exposure_of_strip(std::size_t i, std::size_t count, FrameRate fps) {
  constexpr double shortest_s = 1.0 / 4000.0;
  const double longest_s = fps.frame_s();
  if (i + 1 == count) return longest_s;
  const double share = static_cast<double>(i) / static_cast<double>(count - 1);
  return shortest_s * std::pow(longest_s / shortest_s, share);
}

PlanRequest plan_request(const Asked& asked) {
  PlanRequest request;
  request.readout_s = asked.readout_s;
  request.options = asked.options;
  return request;
}

}  // namespace

Json typical_lights_answer() {
  Json list = Json::array();
  for (const TypicalLight& light : typical_lights()) {
    list.push_back({{"name", light.name}, {"description", light.description}});
  }
  return list;
}

Json prediction_answer(const Json& request) {
  const Asked asked = asked_for(request);
  const Prediction p = predicted(asked);
  const auto notation = shutter_notation(asked.shutter);
  const std::vector<std::string> advice = advise(p, {}, notation);
  Json answer;
  answer["prediction"] = Json::parse(to_json(p, advice));
  answer["headline"] = report::hides_what_could_show(p) ? "Clean as far as was measured"
                                                        : report::html::verdict_sentence(p.worst);
  answer["shot"] =
      fmt::format("{} frames per second, {} ({}°)", frame_rate_label(p.shot.fps),
                  exposure_label(p.shot.exposure_s),
                  words::in_digits_at_most(shutter_angle_deg(p.shot.exposure_s, p.shot.fps), 4));
  answer["under"] = fmt::format("Under {}; {}.", report::html::names_of(p.lights),
                                report::html::mains_words(p.mains_hz, p.mains_tolerance_hz));
  answer["tile"] = report::plots::verdict_tile(p.worst.verdict);
  answer["figures"] = figures_of(p);
  answer["wall"] = greys_of(least_favourable_rows(p));
  answer["steady"] = greys_of({1.0}).front();
  return answer;
}

Json moving_wall_answer(const Json& request) {
  const MovingWall wall = moving_wall(predicted(asked_for(request)));
  Json frames = Json::array();
  for (const std::vector<int>& frame : wall.frames) frames.push_back(frame);
  return {{"frames", frames}, {"shown_per_s", wall.shown_per_s}, {"slowed", wall.slowed}};
}

Json strip_answer(const Json& request) {
  const Asked asked = asked_for(request);
  const auto count = std::clamp<std::size_t>(request.at("count").get<std::size_t>(), 2, 2000);
  const auto every = std::max<std::size_t>(request.at("every").get<std::size_t>(), 1);
  const auto judged = reasoning::judge::judged_room(
      asked.lights, asked.options,
      shot_of(asked.fps, asked.fps.frame_s(), asked.readout_s).readout_s, Shot{}.rows);
  const auto until = std::min(count, request.value("until", count));
  Json points = Json::array();
  for (auto i = request.at("first").get<std::size_t>(); i < until; i += every) {
    const double exposure_s = exposure_of_strip(i, count, asked.fps);
    const Recorded nominal = judged->judge.nominal(exposure_s, asked.fps).figures;
    const Recorded worst = judged->judge.worst(exposure_s, asked.fps, nominal).figures;
    points.push_back({{"at", i},
                      {"exposure_s", exposure_s},
                      {"label", shutter_label(exposure_s, asked.fps, ShutterNotation::fraction)},
                      {"visibility", worst.visibility},
                      {"verdict", verdict_word(worst.verdict)}});
  }
  return {{"points", points},
          {"from_s", exposure_of_strip(0, count, asked.fps)},
          {"to_s", asked.fps.frame_s()},
          {"count", count}};
}

Json map_answer(const Json& request) {
  const PageCompanions with = companions_of(predicted(asked_for(request)));
  return {{"svg", report::plots::shutter_map_svg(*with.plan, &*with.field)}};
}

Json card_answer(const Json& request) {
  const Asked asked = asked_for(request);
  PlanRequest plan = plan_request(asked);
  for (const Json& rate : request.at("rates")) {
    plan.frame_rates.push_back(parse_frame_rate(rate.get<std::string>()));
  }
  plan.frame_rates = those_readable(std::move(plan.frame_rates), asked.readout_s);
  const ShutterPlan made = plan_shutters(asked.lights, plan);
  return {{"html", wall_card_html(made, wall_card(made))}};
}

}  // namespace lampbeat::page
