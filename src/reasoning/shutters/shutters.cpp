#include "lampbeat/shutters.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "arithmetic/side_by_side.hpp"
#include "lampbeat/camera.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/frequency_light.hpp"
#include "reasoning/mixture/mains.hpp"
#include "reasoning/shutters/shutters_common.hpp"
#include "reasoning/shutters/shutters_dial.hpp"
#include "reasoning/shutters/shutters_exact.hpp"
#include "reasoning/shutters/shutters_order.hpp"
#include "reasoning/shutters/shutters_outlook.hpp"
#include "reasoning/shutters/shutters_setting.hpp"
#include "reasoning/shutters/shutters_slower.hpp"
#include "reasoning/shutters/shutters_spans.hpp"
#include "words/numbers.hpp"

namespace lampbeat {

namespace {

using namespace reasoning;

/// Ten frame rates with two thousand shutters each: nobody reads more, and each is searched by
/// itself.
constexpr std::size_t most_settings = 20000;

std::vector<FrameRate> each_once(const std::vector<FrameRate>& asked) {
  std::vector<FrameRate> rates;
  for (const FrameRate fps : asked) {
    if (std::find(rates.begin(), rates.end(), fps) == rates.end()) rates.push_back(fps);
  }
  return rates;
}

/// All that is judged at one frame rate.
struct AtRate {
  shutters::Dial dial;
  std::vector<shutters::JudgedOffer> offers;
};

const shutters::JudgedOffer* best_point(const std::vector<shutters::JudgedOffer>& offers,
                                        bool by_whole_cycles) {
  const shutters::JudgedOffer* best = nullptr;
  for (const shutters::JudgedOffer& judged : offers) {
    if (!judged.offer.fine) continue;
    if (!best || shutters::stands_before(judged.setting, best->setting, by_whole_cycles))
      best = &judged;
  }
  return best;
}

/// Looks for the best point of the ranges, beside those judged, and the stop next to it.
void add_exact(FrameRateOutlook& outlook, AtRate& there,
               const std::shared_ptr<const judge::JudgedRoom>& judged,
               std::span<const LightShare> meant) {
  const bool by_whole_cycles = some_by_frequency_alone(meant);
  const shutters::JudgedOffer* best = best_point(there.offers, by_whole_cycles);
  if (!best) return;
  if (const auto better = shutters::better_point(there.dial, judged->judge, meant, best->setting)) {
    there.offers.push_back(shutters::judged_offer(judged, meant, *better, there.dial.fps));
    best = best_point(there.offers, by_whole_cycles);
  }
  outlook.exact = ExactShutter{best->setting, {}};
  const ShutterNotation notation =
      shutter_notation(best->setting.label).value_or(ShutterNotation::fraction);
  if (const auto stop =
          shutters::nearest_stop(best->setting.exposure_s, there.dial.fps, notation)) {
    outlook.exact->dial = shutters::judged_offer(judged, meant, *stop, there.dial.fps).setting;
  }
}

/// Of the settings that are clean only while a free-running clock holds, the nearest to 180° of
/// those that stand as much as any.
std::optional<Setting> most_forgiving(const std::vector<shutters::JudgedOffer>& offers) {
  constexpr double as_much = 0.9;  // a margin is told in two digits
  const auto margin = [](const Setting& s) {
    return is_clean(s.nominal) && !is_clean(s.worst) ? s.clock_margin_percent.value_or(0.0) : 0.0;
  };
  double widest = 0.0;
  for (const shutters::JudgedOffer& j : offers) widest = std::max(widest, margin(j.setting));
  const Setting* nearest = nullptr;
  for (const shutters::JudgedOffer& j : offers) {
    if (!(margin(j.setting) > 0.0) || margin(j.setting) < as_much * widest) continue;
    const double stops = std::abs(j.setting.stops_from_180deg);
    if (!nearest || stops < std::abs(nearest->stops_from_180deg)) nearest = &j.setting;
  }
  return nearest ? std::optional(*nearest) : std::nullopt;
}

/// Best first, with the exposures around them that stay clean.
void finish(FrameRateOutlook& outlook, AtRate& there, const judge::Judge& judge,
            bool by_whole_cycles) {
  std::stable_sort(there.offers.begin(), there.offers.end(),
                   [&](const shutters::JudgedOffer& a, const shutters::JudgedOffer& b) {
                     return shutters::stands_before(a.setting, b.setting, by_whole_cycles);
                   });
  std::vector<Setting*> settings;
  for (shutters::JudgedOffer& judged : there.offers) settings.push_back(&judged.setting);
  if (outlook.exact) {
    settings.push_back(&outlook.exact->best);
    if (outlook.exact->dial) settings.push_back(&*outlook.exact->dial);
  }
  shutters::add_clean_spans(settings, judge);
  outlook.any_clean = std::any_of(there.offers.begin(), there.offers.end(),
                                  [](const auto& j) { return is_clean(j.setting.worst); });
  if (!outlook.any_clean) outlook.while_clock_holds = most_forgiving(there.offers);
}

/// The customary and the asked frame rates at which this camera can record, slowest first.
std::vector<FrameRate> known_rates(std::vector<FrameRate> rates, std::optional<double> readout_s) {
  const std::vector<FrameRate> customary = those_readable(customary_frame_rates(), readout_s);
  rates.insert(rates.end(), customary.begin(), customary.end());
  std::stable_sort(rates.begin(), rates.end(),
                   [](FrameRate a, FrameRate b) { return a.per_s() < b.per_s(); });
  return rates;
}

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
  const auto judged = judge::judged_room(lights, request.options, request.readout_s, request.rows);
  const judge::Room& room = judged->room;
  const judge::Judge& judge = judged->judge;
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
  std::vector<AtRate> at;
  std::vector<std::pair<std::size_t, std::size_t>> tasks;  // of which rate which offer
  for (std::size_t i = 0; i < rates.size(); ++i) {
    AtRate there;
    there.dial = shutters::dial_of(meant, request.available, rates[i]);
    for (shutters::Offer& offer : shutters::telling_offers(there.dial, meant)) {
      tasks.push_back({i, there.offers.size()});
      there.offers.push_back({std::move(offer), {}, {}});
    }
    if (there.offers.empty()) {
      plan.findings.push_back(
          {"no_shutter_fits", fmt::format("At {} fps a frame lasts {} ms, and every shutter "
                                          "offered is longer.",
                                          frame_rate_label(rates[i]),
                                          words::in_digits_at_most(1e3 * rates[i].frame_s(), 4))});
    }
    at.push_back(std::move(there));
    if (tasks.size() > most_settings) {
      throw UsageError(
          fmt::format("more than {} settings to judge; ask for fewer frame rates or "
                      "shutters at a time",
                      most_settings));
    }
  }

  plan.outlooks.resize(rates.size());
  arithmetic::for_each_side_by_side(tasks.size() + rates.size(), [&](std::size_t i) {
    if (i < rates.size()) {
      plan.outlooks[i] = shutters::outlook_for(plan.lights, judge, rates[i]);
      return;
    }
    const auto& [rate, offer] = tasks[i - rates.size()];
    shutters::JudgedOffer& there = at[rate].offers[offer];
    there = shutters::judged_offer(judged, meant, there.offer, rates[rate]);
  });
  for (const AtRate& there : at) {
    for (const shutters::JudgedOffer& judged_here : there.offers) {
      shutters::gather_findings(plan.findings, judged_here);
    }
  }
  arithmetic::for_each_side_by_side(rates.size(), [&](std::size_t i) {
    add_exact(plan.outlooks[i], at[i], judged, meant);
    finish(plan.outlooks[i], at[i], judge, some_by_frequency_alone(meant));
  });

  const std::vector<FrameRate> slower = known_rates(rates, request.readout_s);
  std::vector<shutters::Dial> dials;
  for (std::size_t i = 0; i < rates.size(); ++i) {
    for (shutters::JudgedOffer& there : at[i].offers) {
      plan.settings.push_back(std::move(there.setting));
    }
    dials.push_back(std::move(at[i].dial));
    FrameRateOutlook& outlook = plan.outlooks[i];
    if (outlook.any_clean || dials.back().empty()) continue;
    outlook.slower = shutters::fastest_clean_below(rates[i], slower, judge, [&](FrameRate fps) {
      return shutters::telling_offers(shutters::dial_of(meant, request.available, fps), meant);
    });
  }
  plan.serves_all = shutters::common_exposures(plan, judge, dials);
  return plan;
}

}  // namespace lampbeat
