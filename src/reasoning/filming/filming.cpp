#include "lampbeat/filming.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <span>
#include <vector>

#include "lampbeat/visibility.hpp"
#include "reasoning/bands/predicted.hpp"
#include "reasoning/judge/ceilings.hpp"
#include "reasoning/mixture/unseen.hpp"

// A shelf holds hundreds of lights, and each is asked about thousands of exposures at every frame
// rate. The judge's bounds answer most of these questions, the judge itself the rest.

namespace lampbeat {

namespace {

using reasoning::Judge;
using reasoning::MovingRhythm;
using reasoning::Scene;

constexpr double longest_ordinary_s = 1.0 / 24.0;
constexpr double longest_searched_s = 0.5;
constexpr double endless_s = 1e6;
/// An instant is as good as no exposure at all.
constexpr double instant_s = 1e-6;
constexpr int rows = 1080;

Judge filming_judge(const reasoning::Room& room, std::optional<double> readout_s) {
  const Judge own = reasoning::judge_of(room, readout_s, rows);
  std::vector<Scene> scenes = own.scenes();
  for (Scene& unseen : reasoning::unseen_scenes(room)) scenes.push_back(std::move(unseen));
  return {std::move(scenes), readout_s, rows, room.options.viewing};
}

/// Whether exposures are clean at every one of these frame rates, slowest first, with room for
/// them.
class EveryRate {
 public:
  EveryRate(const Judge& judge, std::vector<FrameRate> rates)
      : judge_(judge), rates_(std::move(rates)) {
    for (const Scene& scene : judge.scenes()) ceilings_.emplace_back(scene, judge_, rates_);
  }

  const std::vector<FrameRate>& rates() const { return rates_; }

  /// Whether a bound alone shows that every exposure from here on is.
  bool surely_clean_from(double exposure_s) { return ceiling(exposure_s, endless_s) < clean_below; }

  bool clean(double exposure_s) {
    std::vector<std::pair<double, std::size_t>> doubtful;
    for (std::size_t rate = 0; rate < rates_.size(); ++rate) {
      if (!fits(exposure_s, rate)) break;
      const double bound = ceiling_at(exposure_s, exposure_s, rate);
      if (bound < clean_below) continue;
      if (wanders_over_lobes(exposure_s)) return false;
      doubtful.push_back({bound, rate});
    }
    std::sort(doubtful.rbegin(), doubtful.rend());
    return std::all_of(doubtful.begin(), doubtful.end(), [&](const auto& doubt) {
      return judge_.clean(exposure_s, rates_[doubt.second]);
    });
  }

  bool clean(double exposure_s, std::size_t rate) {
    return ceiling_at(exposure_s, exposure_s, rate) < clean_below ||
           judge_.clean(exposure_s, rates_[rate]);
  }

 private:
  /// Where a free-running clock takes a rhythm over half a lobe of the exposure's gain or more, the
  /// bound is all but reached, at a slightly longer exposure if not at this one: it decides, and
  /// errs on the cautious side by a few per cent.
  bool wanders_over_lobes(double exposure_s) const {
    constexpr double enough_lobes = 0.5;
    return std::any_of(judge_.scenes().begin(), judge_.scenes().end(), [&](const Scene& scene) {
      return std::any_of(scene.rhythms.begin(), scene.rhythms.end(), [&](const MovingRhythm& r) {
        const double reach = scene.clocks[r.clock].high - scene.clocks[r.clock].low;
        return r.clock != 0 && reach * r.own_hz * exposure_s >= enough_lobes;
      });
    });
  }

  /// The slowest rate stands for exposures longer than any frame.
  bool fits(double exposure_s, std::size_t rate) const {
    return rate == 0 || exposure_s <= rates_[rate].frame_s() * (1.0 + 1e-9);
  }

  double ceiling(double from_s, double to_s) {
    double highest = 0.0;
    for (std::size_t rate = 0; rate < rates_.size(); ++rate) {
      if (!fits(from_s, rate)) break;
      highest = std::max(highest, ceiling_at(from_s, to_s, rate));
      if (highest >= clean_below) break;
    }
    return highest;
  }

  double ceiling_at(double from_s, double to_s, std::size_t rate) {
    double highest = 0.0;
    for (reasoning::Ceilings& scene : ceilings_) {
      highest = std::max(highest, scene.visibility(from_s, to_s, rate));
    }
    return highest;
  }

  const Judge& judge_;
  std::vector<FrameRate> rates_;
  std::vector<reasoning::Ceilings> ceilings_;
};

/// How far apart exposures may be looked at without stepping over a lobe: a sixteenth of a cycle of
/// the fastest strong line, or a part of what its own wandering covers.
double step_s(const Judge& judge, double exposure_s) {
  double step = exposure_s;
  for (const Scene& scene : judge.scenes()) {
    double strongest = 0.0;
    for (const MovingRhythm& r : scene.rhythms) {
      strongest = std::max(strongest, reasoning::strongest_amplitude(r.harmonics));
    }
    for (const MovingRhythm& r : scene.rhythms) {
      const double wandering = 0.3 * scene.clocks[r.clock].high * exposure_s;
      for (const auto& h : r.harmonics) {
        if (std::abs(h.amplitude) < 0.1 * strongest) continue;
        step = std::min(step, std::max(1.0 / (16.0 * h.order * r.own_hz), wandering));
      }
    }
  }
  return std::max(step, exposure_s / 4000.0);
}

double surely_clean_from(EveryRate& check) {
  double low = 0.1 * instant_s;
  double high = longest_searched_s;
  if (check.surely_clean_from(low)) return 0.0;
  if (!check.surely_clean_from(high)) return high;
  while (high > low * 1.005) {
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
    double bad = tried;
    for (int i = 0; i < 7; ++i) {
      const double middle = 0.5 * (good + bad);
      (check.clean(middle) ? good : bad) = middle;
    }
    break;
  }
  if (good <= instant_s) return 0.0;
  if (good > longest_ordinary_s) return std::nullopt;
  return good;
}

/// Whether some exposure of whole cycles of a strong rhythm is clean at some frame rate.
bool some_whole_cycles_clean(const Judge& judge, EveryRate& check) {
  constexpr std::size_t most_rhythms = 3;
  const auto& rates = check.rates();
  std::vector<std::pair<double, double>> rhythms;  // amplitude, hertz
  for (const MovingRhythm& r : judge.scenes().front().rhythms) {
    rhythms.push_back({reasoning::strongest_amplitude(r.harmonics), r.own_hz + r.side_hz});
  }
  std::sort(rhythms.rbegin(), rhythms.rend());
  if (rhythms.size() > most_rhythms) rhythms.resize(most_rhythms);
  if (rhythms.empty()) rhythms.push_back({0.0, 100.0});
  for (const auto& [amplitude, hz] : rhythms) {
    const double most = std::floor(rates.front().frame_s() * hz);
    const double step = std::max(1.0, std::floor(most / 32.0));
    for (double cycles = most; cycles >= 1.0; cycles -= step) {
      const double exposure_s = cycles / hz;
      for (std::size_t rate = 0; rate < rates.size(); ++rate) {
        if (exposure_s > rates[rate].frame_s() * (1.0 + 1e-9)) break;
        if (check.clean(exposure_s, rate)) return true;
      }
    }
  }
  return false;
}

}  // namespace

const std::vector<FrameRate>& customary_frame_rates() {
  static const std::vector<FrameRate> rates = {
      {24000, 1001}, {24, 1},        {25, 1},  {30000, 1001}, {30, 1},        {48, 1},
      {50, 1},       {60000, 1001},  {60, 1},  {100, 1},      {120000, 1001}, {120, 1},
      {200, 1},      {240000, 1001}, {240, 1}, {480, 1},      {960, 1}};
  return rates;
}

std::vector<FrameRate> customary_rates_read_in(std::optional<double> readout_s) {
  std::vector<FrameRate> rates = customary_frame_rates();
  if (!readout_s) return rates;
  require_readable(readout_s, {rates.data(), 1});
  std::erase_if(rates, [&](FrameRate fps) { return !readable_in(*readout_s, fps); });
  return rates;
}

const char* filming_words(FilmingClass filming) {
  switch (filming) {
    case FilmingClass::any_shutter:
      return "any shutter";
    case FilmingClass::matched_shutters_only:
      return "matched shutters only";
    case FilmingClass::no_safe_shutter:
      return "no safe shutter";
  }
  return "no safe shutter";
}

FilmingRating rate_for_filming(const Light& light, std::optional<double> readout_s,
                               const PredictionOptions& options) {
  const LightShare alone{light, 1.0};
  const reasoning::Room room = reasoning::room_of({&alone, 1}, options);
  const Judge judge = filming_judge(room, readout_s);
  EveryRate check(judge, customary_rates_read_in(readout_s));
  FilmingRating rating;
  rating.findings = room.findings;
  rating.shortest_clean_exposure_s = shortest_clean(judge, check);
  if (rating.shortest_clean_exposure_s == 0.0) {
    rating.filming = FilmingClass::any_shutter;
  } else if (rating.shortest_clean_exposure_s || some_whole_cycles_clean(judge, check)) {
    rating.filming = FilmingClass::matched_shutters_only;
  }
  const auto& rates = check.rates();
  for (std::size_t rate = rates.size(); rate-- > 0;) {
    if (check.clean(0.5 * rates[rate].frame_s(), rate)) {
      rating.highest_clean_fps = rates[rate].per_s();
      break;
    }
  }
  return rating;
}

}  // namespace lampbeat
