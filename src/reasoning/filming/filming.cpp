#include "lampbeat/filming.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <span>
#include <vector>

#include "reasoning/camera/fits.hpp"
#include "reasoning/filming/clean_exposures.hpp"
#include "reasoning/filming/every_rate.hpp"
#include "reasoning/judge/room.hpp"
#include "reasoning/judge/unseen.hpp"

// A shelf holds hundreds of lights, and each is asked about thousands of exposures at every frame
// rate. The judge's bounds answer most of these questions, the judge itself the rest.

namespace lampbeat {

namespace {

using reasoning::filming::CleanExposures;
using reasoning::filming::EveryRate;
using reasoning::judge::Judge;
using reasoning::judge::MovingSeries;
using reasoning::judge::Scene;

/// No ordinary shot is exposed longer than the frame of the slowest customary whole rate.
constexpr double longest_ordinary_s = 1.0 / 24.0;
/// The walk towards shorter exposures starts here at the latest, at a dozen times the longest
/// ordinary one: bounds fall as 1 / exposure and have cleared most lights by then.
constexpr double longest_searched_s = 0.5;
/// An instant is as good as no exposure at all: the fastest lights that matter (some 100 kHz) turn
/// by a tenth of a cycle in it.
constexpr double instant_s = 1e-6;

Judge filming_judge(const reasoning::judge::Room& room, std::optional<double> readout_s) {
  const Judge own = reasoning::judge::judge_of(room, readout_s, Shot{}.rows);
  std::vector<Scene> scenes = own.scenes();
  for (Scene& unseen : reasoning::judge::unseen_scenes(room)) scenes.push_back(std::move(unseen));
  return {std::move(scenes), readout_s, Shot{}.rows, room.options.viewing};
}

/// How far apart exposures may be looked at without stepping over a lobe: a sixteenth of a cycle of
/// the fastest strong line, or a part of what its own wandering covers.
double step_s(const Judge& judge, double exposure_s) {
  constexpr double steps_a_cycle = 16.0;     // a lobe is a cycle wide
  constexpr double part_of_wandering = 0.3;  // so that neighbours overlap by more than half
  constexpr double strong = 0.1;  // of the strongest: weaker lines make no lobes of their own
  constexpr double most_steps = 4000.0;  // keeps a fast line from making the walk endless
  double step = exposure_s;
  for (const Scene& scene : judge.scenes()) {
    double strongest = 0.0;
    for (const MovingSeries& r : scene.rhythms) {
      strongest = std::max(strongest, reasoning::mixture::strongest_amplitude(r.harmonics));
    }
    for (const MovingSeries& r : scene.rhythms) {
      const double wandering = part_of_wandering * scene.clocks[r.clock].high * exposure_s;
      for (const auto& h : r.harmonics) {
        if (std::abs(h.amplitude) < strong * strongest) continue;
        step = std::min(step, std::max(1.0 / (steps_a_cycle * h.order * r.own_hz), wandering));
      }
    }
  }
  return std::max(step, exposure_s / most_steps);
}

double surely_clean_from(EveryRate& check) {
  constexpr double near_enough = 1.005;  // the walk that follows starts there, whatever it is
  double low = 0.1 * instant_s;
  double high = longest_searched_s;
  if (check.surely_clean_from(low)) return 0.0;
  if (!check.surely_clean_from(high)) return high;
  while (high > low * near_enough) {
    const double middle = std::sqrt(low * high);
    (check.surely_clean_from(middle) ? high : low) = middle;
  }
  return high;
}

/// Walks from where everything is surely hidden towards shorter exposures, to the first that shows.
std::optional<double> shortest_clean(const Judge& judge, EveryRate& check) {
  double good = surely_clean_from(check);
  if (good > 0.0 && !check.clean(good)) return std::nullopt;
  while (good > instant_s) {
    const double tried = std::max(good - step_s(judge, good), 0.5 * good);
    if (check.clean(tried)) {
      good = tried;
      continue;
    }
    constexpr int halvings = 7;  // to a hundredth of a step
    double bad = tried;
    for (int i = 0; i < halvings; ++i) {
      const double middle = 0.5 * (good + bad);
      (check.clean(middle) ? good : bad) = middle;
    }
    break;
  }
  if (good <= instant_s) return 0.0;
  if (good > std::min(longest_ordinary_s, check.rates().front().frame_s())) return std::nullopt;
  return good;
}

/// The longest exposure people film at, at one of the rates.
double longest_s(const EveryRate& check, std::size_t rate) {
  return std::min(longest_filmed_s, check.rates()[rate].frame_s());
}

bool ordinary_shutters_clean(EveryRate& check) {
  bool any = false;
  for (std::size_t rate = 0; rate < check.rates().size(); ++rate) {
    const double frame_s = check.rates()[rate].frame_s();
    if (frame_s < ordinary_from_s) break;
    any = true;
    if (!CleanExposures(check, rate).all(ordinary_from_s, frame_s)) return false;
  }
  return any;
}

/// Fast rates first: where frames are short there is least to be clean.
double fewest_clean_stops(EveryRate& check, bool any_shutter) {
  double fewest = std::numeric_limits<double>::infinity();
  for (std::size_t rate = check.rates().size(); rate-- > 0 && fewest > 0.0;) {
    const double to_s = std::max(shortest_filmed_s, longest_s(check, rate));
    const double stops = any_shutter
                             ? std::log2(to_s / shortest_filmed_s)
                             : CleanExposures(check, rate).stops(shortest_filmed_s, to_s, fewest);
    fewest = std::min(fewest, stops);
  }
  return fewest;
}

/// Whether some exposure of whole cycles of a strong rhythm is clean at some frame rate.
bool some_whole_cycles_clean(const Judge& judge, EveryRate& check) {
  constexpr std::size_t most_rhythms = 3;       // no exposure holds whole cycles of more
  constexpr double most_counts = 32.0;          // of cycles tried; between them all are alike
  constexpr double twice_the_mains_hz = 100.0;  // for a light of no rhythm at all
  const auto& rates = check.rates();
  std::vector<std::pair<double, double>> rhythms;  // amplitude, hertz
  for (const MovingSeries& r : judge.scenes().front().rhythms) {
    rhythms.push_back({reasoning::mixture::strongest_amplitude(r.harmonics), r.own_hz + r.side_hz});
  }
  std::sort(rhythms.rbegin(), rhythms.rend());
  if (rhythms.size() > most_rhythms) rhythms.resize(most_rhythms);
  if (rhythms.empty()) rhythms.push_back({0.0, twice_the_mains_hz});
  for (const auto& [amplitude, hz] : rhythms) {
    const double most = std::floor(rates.front().frame_s() * hz);
    const double step = std::max(1.0, std::floor(most / most_counts));
    for (double cycles = most; cycles >= 1.0; cycles -= step) {
      const double exposure_s = cycles / hz;
      for (std::size_t rate = 0; rate < rates.size(); ++rate) {
        if (!reasoning::camera::fits(exposure_s, rates[rate])) break;
        if (check.clean(exposure_s, rate)) return true;
      }
    }
  }
  return false;
}

}  // namespace

const char* filming_words(FilmingClass filming) {
  switch (filming) {
    case FilmingClass::any_shutter:
      return "any shutter";
    case FilmingClass::ordinary_shutters:
      return "ordinary shutters";
    case FilmingClass::matched_shutters_only:
      return "matched shutters only";
    case FilmingClass::no_safe_shutter:
      return "no safe shutter";
  }
  return "no safe shutter";
}

const std::vector<FrameRate>& filmed_frame_rates() {
  static const std::vector<FrameRate> rates = {{24000, 1001}, {24, 1}, {25, 1},       {30000, 1001},
                                               {30, 1},       {50, 1}, {60000, 1001}, {60, 1}};
  return rates;
}

std::vector<FrameRate> rates_judged_at(std::span<const FrameRate> asked,
                                       std::optional<double> readout_s) {
  std::vector<FrameRate> rates(asked.begin(), asked.end());
  if (rates.empty()) {
    rates = filmed_frame_rates();
    require_readable(readout_s, {rates.data(), 1});
    rates = those_readable(std::move(rates), readout_s);
  }
  require_readable(readout_s, rates);
  std::sort(rates.begin(), rates.end(),
            [](FrameRate a, FrameRate b) { return a.per_s() < b.per_s(); });
  rates.erase(std::unique(rates.begin(), rates.end()), rates.end());
  return rates;
}

FilmingRating rate_for_filming(const Light& light, std::optional<double> readout_s,
                               const PredictionOptions& options,
                               std::span<const FrameRate> asked_rates) {
  const LightShare alone{light, 1.0};
  const reasoning::judge::Room room = reasoning::judge::room_of({&alone, 1}, options);
  const Judge judge = filming_judge(room, readout_s);
  EveryRate check(judge, rates_judged_at(asked_rates, readout_s));
  FilmingRating rating;
  rating.findings = room.findings;
  rating.shortest_clean_exposure_s = shortest_clean(judge, check);
  const bool any_shutter = rating.shortest_clean_exposure_s == 0.0;
  rating.clean_stops = fewest_clean_stops(check, any_shutter);
  if (any_shutter) {
    rating.filming = FilmingClass::any_shutter;
  } else if (ordinary_shutters_clean(check)) {
    rating.filming = FilmingClass::ordinary_shutters;
  } else if (rating.clean_stops > 0.0 || rating.shortest_clean_exposure_s ||
             some_whole_cycles_clean(judge, check)) {
    rating.filming = FilmingClass::matched_shutters_only;
  }
  const auto& rates = check.rates();
  for (std::size_t rate = 0; rate < rates.size(); ++rate) {
    if (check.clean(0.5 * rates[rate].frame_s(), rate)) rating.clean_180.push_back(rates[rate]);
  }
  if (!rating.clean_180.empty()) rating.highest_clean_fps = rating.clean_180.back().per_s();
  return rating;
}

std::optional<FilmingRating> rate_for_filming(const Measurement& measurement) {
  const bool judged =
      measurement.mean && (measurement.percent_flicker || measurement.steady_below_percent);
  if (!judged && measurement.deepest.empty()) return std::nullopt;
  return rate_for_filming(light_from(measurement), {}, {});
}

}  // namespace lampbeat
