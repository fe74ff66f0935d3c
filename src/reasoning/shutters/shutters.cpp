#include "lampbeat/shutters.hpp"

#include <fmt/format.h>
#include <tbb/parallel_for.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "lampbeat/camera.hpp"
#include "lampbeat/error.hpp"
#include "reasoning/mixture/mains.hpp"
#include "reasoning/prediction/predicted.hpp"
#include "reasoning/shutters/shutters_common.hpp"
#include "reasoning/shutters/shutters_margins.hpp"
#include "reasoning/shutters/shutters_offers.hpp"
#include "reasoning/shutters/shutters_outlook.hpp"
#include "words/numbers.hpp"

namespace lampbeat {

namespace {

/// Ten frame rates with two thousand shutters each: nobody reads more, and each is searched by
/// itself.
constexpr std::size_t most_settings = 20000;

Setting setting_from(const Prediction& p, const reasoning::shutters::Offer& offer,
                     const reasoning::judge::Judge& judge) {
  Setting s;
  s.fps = p.shot.fps;
  s.exposure_s = offer.exposure_s;
  s.label = offer.label;
  s.shutter_deg = shutter_angle_deg(offer.exposure_s, s.fps);
  s.readout_s = p.shot.readout_s;
  s.nominal = p.nominal;
  s.worst = p.worst;
  s.blur_from_180deg = s.shutter_deg / 180.0;
  s.stops_from_180deg = std::log2(s.blur_from_180deg);
  const reasoning::shutters::Margins margins = reasoning::shutters::margins_of(p, judge);
  s.mains_margin_hz = margins.mains_hz;
  s.clock_margin_percent = margins.clock_percent;
  return s;
}

/// `by_whole_cycles`: where a light's waveform is not known, the least drift of its clock lets the
/// shortest flashes show at full depth, and the worst case no longer tells whole cycles, which are
/// clean for most lights, from exposures that are clean for none.
bool better(const Setting& a, const Setting& b, bool by_whole_cycles) {
  const auto at_rest = [](const Setting& s) {
    return is_clean(s.worst) ? 0 : is_clean(s.nominal) ? 1 : 2;
  };
  if (by_whole_cycles && at_rest(a) != at_rest(b)) return at_rest(a) < at_rest(b);
  if (a.worst.verdict != b.worst.verdict) return a.worst.verdict < b.worst.verdict;
  const auto near = [](const Setting& s) {  // in quarter stops
    // An eighth of a stop more or less is no difference on the set (common practice, no source).
    return std::round(4.0 * std::abs(s.stops_from_180deg));
  };
  const bool usable = a.worst.verdict <= Verdict::borderline || (by_whole_cycles && at_rest(a) < 2);
  if (usable && near(a) != near(b)) return near(a) < near(b);
  if (a.worst.visibility != b.worst.visibility) return a.worst.visibility < b.worst.visibility;
  return a.exposure_s > b.exposure_s;
}

/// Doubts of the whole plan, once each. Remarks about one setting's figures stay out, except
/// the caution for photosensitive viewers and what decided the worst, which name a setting.
void gather(Findings& findings, const Prediction& p, const std::string& label) {
  constexpr std::array<const char*, 2> of_one_setting = {"below_recording_step", "coarse_pattern"};
  constexpr std::array<const char*, 3> named = {"photosensitive_caution", "own_clock",
                                                "state_decides"};
  for (const Finding& f : p.findings) {
    if (std::find(of_one_setting.begin(), of_one_setting.end(), f.code) != of_one_setting.end()) {
      continue;
    }
    const bool caution = std::find(named.begin(), named.end(), f.code) != named.end();
    const bool known = std::any_of(findings.begin(), findings.end(), [&](const Finding& seen) {
      return seen.code == f.code && (caution || seen.message == f.message);
    });
    if (known) continue;
    findings.push_back(
        {f.code, caution
                     ? fmt::format("{} fps, {}: {}", frame_rate_label(p.shot.fps), label, f.message)
                     : f.message});
  }
}

std::vector<FrameRate> each_once(const std::vector<FrameRate>& asked) {
  std::vector<FrameRate> rates;
  for (const FrameRate fps : asked) {
    if (std::find(rates.begin(), rates.end(), fps) == rates.end()) rates.push_back(fps);
  }
  return rates;
}

struct Task {
  std::size_t rate = 0;
  reasoning::shutters::Offer offer;
  Setting setting;
  Prediction prediction;
};

}  // namespace

std::optional<double> common_readout_s(const ShutterPlan& plan) {
  std::optional<double> common;
  for (const FrameRateOutlook& o : plan.outlooks) {
    if (common && o.readout_s != *common) return std::nullopt;
    common = o.readout_s;
  }
  return common;
}

ShutterPlan plan_shutters(std::span<const LightShare> lights, const PlanRequest& request) {
  if (request.frame_rates.empty()) {
    throw UsageError("name at least one frame rate to plan for, such as 25 or 29.97");
  }
  const std::vector<FrameRate> rates = each_once(request.frame_rates);
  const auto judged =
      reasoning::judge::judged_room(lights, request.options, request.readout_s, request.rows);
  const reasoning::judge::Room& room = judged->room;
  const reasoning::judge::Judge& judge = judged->judge;
  require_readable(request.readout_s, rates);
  ShutterPlan plan;
  plan.lights = room.lights;
  plan.mains_hz = room.mains_hz;
  plan.mains_tolerance_hz = room.mains_tolerance_hz;
  plan.clock_tolerance_percent = room.clock_tolerance_percent;
  plan.findings = room.findings;
  plan.readout_s = request.readout_s;
  plan.rows = request.rows;
  plan.options = request.options;
  if (!request.readout_s) plan.findings.push_back(assumed_readout_finding(rates));

  const std::vector<LightShare> meant =
      reasoning::mixture::as_meant(room.lights, room.mains_hz, request.options.mains_hz);
  std::vector<Task> tasks;
  for (std::size_t i = 0; i < rates.size(); ++i) {
    const std::vector<reasoning::shutters::Offer> offers =
        request.available.empty() ? reasoning::shutters::customary_offers(meant, rates[i])
                                  : reasoning::shutters::listed_offers(request.available, rates[i]);
    if (offers.empty()) {
      plan.findings.push_back(
          {"no_shutter_fits", fmt::format("At {} fps a frame lasts {} ms, and every shutter "
                                          "offered is longer.",
                                          frame_rate_label(rates[i]),
                                          words::in_digits_at_most(1e3 * rates[i].frame_s(), 4))});
    }
    for (const reasoning::shutters::Offer& offer : offers) tasks.push_back({i, offer, {}, {}});
    if (tasks.size() > most_settings) {
      throw UsageError(
          fmt::format("more than {} settings to judge; ask for fewer frame rates or "
                      "shutters at a time",
                      most_settings));
    }
  }

  plan.outlooks.resize(rates.size());
  tbb::parallel_for(std::size_t{0}, tasks.size() + rates.size(), [&](std::size_t i) {
    if (i < rates.size()) {
      plan.outlooks[i] = reasoning::shutters::outlook_for(plan.lights, judge, rates[i]);
      return;
    }
    Task& task = tasks[i - rates.size()];
    task.prediction =
        reasoning::prediction::predicted(judged, task.offer.exposure_s, rates[task.rate]);
    task.setting = setting_from(task.prediction, task.offer, judge);
    task.setting.whole_cycles =
        reasoning::shutters::holds_whole_cycles(meant, task.offer.exposure_s);
  });

  const bool by_whole_cycles =
      std::any_of(plan.lights.begin(), plan.lights.end(),
                  [](const LightShare& l) { return l.light.any_waveform; });
  for (Task& task : tasks) gather(plan.findings, task.prediction, task.offer.label);
  std::stable_sort(tasks.begin(), tasks.end(), [&](const Task& a, const Task& b) {
    return a.rate != b.rate ? a.rate < b.rate : better(a.setting, b.setting, by_whole_cycles);
  });
  for (Task& task : tasks) {
    if (is_clean(task.setting.worst)) plan.outlooks[task.rate].any_clean = true;
    plan.settings.push_back(std::move(task.setting));
  }
  plan.serves_all = reasoning::shutters::common_exposures(plan, judge, !request.available.empty());
  return plan;
}

}  // namespace lampbeat
