#include "lampbeat/shutters.hpp"

#include <fmt/format.h>
#include <tbb/parallel_for.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "lampbeat/error.hpp"
#include "reasoning/mains.hpp"
#include "reasoning/rhythm.hpp"
#include "reasoning/shutters_offers.hpp"
#include "reasoning/shutters_outlook.hpp"

namespace lampbeat {

namespace {

constexpr std::size_t most_settings = 20000;

/// Whether the shot is clean with the mains at exactly this frequency.
bool clean_at(std::span<const LightShare> lights, const Shot& shot, PredictionOptions options,
              double mains_hz) {
  options.mains_hz = mains_hz;
  options.mains_tolerance_hz = 0.0;
  return predict(lights, shot, options).nominal.verdict == Verdict::clean;
}

/// Steps outwards to the first drift that breaks the shot, then closes in on it.
std::optional<double> mains_margin(const Prediction& p, const PredictionOptions& options) {
  if (!p.mains_hz || p.nominal.verdict != Verdict::clean) return std::nullopt;
  const double mains_hz = *p.mains_hz;
  const auto survives = [&](double drift_hz) {
    return clean_at(p.lights, p.shot, options, mains_hz - drift_hz) &&
           clean_at(p.lights, p.shot, options, mains_hz + drift_hz);
  };
  double good = p.worst.verdict == Verdict::clean ? p.mains_tolerance_hz : 0.0;
  constexpr std::array<double, 10> parts = {0.001, 0.0025, 0.005, 0.01, 0.015,
                                            0.025, 0.04,   0.06,  0.08, 0.1};
  for (const double part : parts) {
    const double drift_hz = part * mains_hz;
    if (drift_hz <= good) continue;
    if (survives(drift_hz)) {
      good = drift_hz;
      continue;
    }
    double bad = drift_hz;
    for (int i = 0; i < 5; ++i) {
      const double middle = 0.5 * (good + bad);
      (survives(middle) ? good : bad) = middle;
    }
    return good;
  }
  return std::nullopt;
}

Setting setting_from(const Prediction& p, const reasoning::Offer& offer,
                     const PredictionOptions& options) {
  Setting s;
  s.fps = p.shot.fps;
  s.exposure_s = offer.exposure_s;
  s.label = offer.label;
  s.shutter_deg = shutter_angle_deg(offer.exposure_s, s.fps);
  s.nominal = p.nominal;
  s.worst = p.worst;
  s.blur_from_180deg = s.shutter_deg / 180.0;
  s.stops_from_180deg = std::log2(s.blur_from_180deg);
  s.whole_cycles = reasoning::holds_whole_cycles(p.lights, offer.exposure_s);
  s.mains_margin_hz = mains_margin(p, options);
  return s;
}

bool better(const Setting& a, const Setting& b) {
  if (a.worst.verdict != b.worst.verdict) return a.worst.verdict < b.worst.verdict;
  const auto near = [](const Setting& s) {
    // An eighth of a stop more or less is no difference on the set.
    return std::round(4.0 * std::abs(s.stops_from_180deg));
  };
  if (a.worst.verdict <= Verdict::borderline && near(a) != near(b)) return near(a) < near(b);
  if (a.worst.visibility != b.worst.visibility) return a.worst.visibility < b.worst.visibility;
  return a.exposure_s > b.exposure_s;
}

/// Doubts of the whole plan, once each. Remarks about one setting's figures stay out, except the
/// caution for photosensitive viewers, which names the setting.
void gather(Findings& findings, const Prediction& p, const std::string& label) {
  constexpr std::array<const char*, 2> of_one_setting = {"below_recording_step", "coarse_pattern"};
  for (const Finding& f : p.findings) {
    if (std::find(of_one_setting.begin(), of_one_setting.end(), f.code) != of_one_setting.end()) {
      continue;
    }
    const bool caution = f.code == "photosensitive_caution";
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
    const bool known = std::any_of(rates.begin(), rates.end(), [&](FrameRate r) {
      return r.numerator == fps.numerator && r.denominator == fps.denominator;
    });
    if (!known) rates.push_back(fps);
  }
  return rates;
}

struct Task {
  std::size_t rate = 0;
  reasoning::Offer offer;
  Setting setting;
  Prediction prediction;
};

}  // namespace

namespace {

/// A plan is for other days than the capture's: the mains is taken as meant, 60 Hz and not the
/// 60.01 Hz of that minute, and the tolerance covers where it may run.
std::optional<double> planned_mains_hz(std::span<const LightShare> lights,
                                       const PlanRequest& request) {
  if (request.options.mains_hz) return request.options.mains_hz;
  for (const LightShare& entry : lights) {
    if (entry.light.mains_hz) return nominal_mains_hz(*entry.light.mains_hz);
  }
  return std::nullopt;
}

}  // namespace

ShutterPlan plan_shutters(std::span<const LightShare> lights, const PlanRequest& request) {
  if (request.frame_rates.empty()) {
    throw UsageError("name at least one frame rate to plan for, such as 25 or 29.97");
  }
  const reasoning::Supply supply = reasoning::on_one_mains(reasoning::with_normal_shares(lights),
                                                           planned_mains_hz(lights, request));
  ShutterPlan plan;
  plan.lights = supply.lights;
  plan.mains_hz = supply.mains_hz;
  plan.findings = supply.findings;
  plan.readout_s = request.readout_s;
  if (plan.mains_hz) {
    plan.mains_tolerance_hz =
        request.options.mains_tolerance_hz.value_or(default_mains_tolerance_hz(*plan.mains_hz));
  }

  const std::vector<FrameRate> rates = each_once(request.frame_rates);
  std::vector<Task> tasks;
  for (std::size_t i = 0; i < rates.size(); ++i) {
    const std::vector<reasoning::Offer> offers =
        request.available.empty() ? reasoning::customary_offers(plan.lights, rates[i])
                                  : reasoning::listed_offers(request.available, rates[i]);
    if (offers.empty()) {
      plan.findings.push_back(
          {"no_shutter_fits", fmt::format("At {} fps a frame lasts {:.4g} ms, and every shutter "
                                          "offered is longer.",
                                          frame_rate_label(rates[i]), 1e3 * rates[i].frame_s())});
    }
    for (const reasoning::Offer& offer : offers) tasks.push_back({i, offer, {}, {}});
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
      plan.outlooks[i] = reasoning::outlook_for(plan.lights, rates[i], request);
      return;
    }
    Task& task = tasks[i - rates.size()];
    const Shot shot{rates[task.rate], task.offer.exposure_s, request.readout_s, request.rows};
    task.prediction = predict(plan.lights, shot, request.options);
    task.setting = setting_from(task.prediction, task.offer, request.options);
  });

  for (Task& task : tasks) gather(plan.findings, task.prediction, task.offer.label);
  std::stable_sort(tasks.begin(), tasks.end(), [](const Task& a, const Task& b) {
    return a.rate != b.rate ? a.rate < b.rate : better(a.setting, b.setting);
  });
  for (Task& task : tasks) {
    if (task.setting.worst.verdict == Verdict::clean) plan.outlooks[task.rate].any_clean = true;
    plan.settings.push_back(std::move(task.setting));
  }
  return plan;
}

}  // namespace lampbeat
