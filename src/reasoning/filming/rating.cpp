#include <fmt/format.h>

#include <algorithm>
#include <limits>
#include <map>
#include <tuple>

#include "lampbeat/error.hpp"
#include "lampbeat/rating.hpp"
#include "reasoning/advice/advice_words.hpp"
#include "reasoning/shutters/shutters_outlook.hpp"
#include "words/lists.hpp"
#include "words/numbers.hpp"

namespace lampbeat {

namespace {

constexpr double worst_of_all = std::numeric_limits<double>::infinity();
constexpr double deepest_percent = 100.0;

/// Smaller is better, part by part. A light found steady has no percent flicker of its own and
/// counts as none.
auto fitness(const FixtureRating& r) {
  return std::make_tuple(static_cast<int>(r.filming.filming), -r.filming.clean_stops,
                         r.filming.shortest_clean_exposure_s.value_or(worst_of_all),
                         -r.filming.highest_clean_fps.value_or(0.0),
                         r.percent_flicker.value_or(r.depth_assumed ? deepest_percent : 0.0),
                         r.flicker_index.value_or(0.0));
}

/// Names decide only where fitness does not, so that the order is total.
bool stands_before(const FixtureRating& a, const FixtureRating& b) {
  const int order = compare_ratings(a, b);
  if (order != 0) return order < 0;
  return std::tie(a.fixture, a.capture, a.level, a.notes) <
         std::tie(b.fixture, b.capture, b.level, b.notes);
}

}  // namespace

namespace {

/// A steady light whose recording could hide more flicker than this says nothing about the fixture:
/// bands of a per cent or two are where they begin to be seen (`clean_below`).
constexpr double noisiest_steady_percent = 1.0;

/// A light whose depth was withheld is not a steady one.
void require_known_depth(std::optional<double> percent_flicker,
                         std::optional<double> steady_below_percent, const Findings& doubts) {
  if (percent_flicker) return;
  if (!steady_below_percent) {
    std::string why;
    for (const Finding& doubt : doubts) why += " " + doubt.message;
    throw InputError("no percent flicker, so it cannot be ranked." + why);
  }
  if (*steady_below_percent <= noisiest_steady_percent) return;
  throw InputError(
      fmt::format("too noisy to be ranked: no flicker was found, but one of up to {} % would "
                  "not have been. Record it with more light on the sensor.",
                  words::in_digits_at_most(*steady_below_percent, 2)));
}

void add_filming(FixtureRating& rating, const Light& light, std::optional<double> readout_s,
                 const PredictionOptions& options, std::span<const FrameRate> rates) {
  rating.filming = rate_for_filming(light, readout_s, options, rates);
  for (const Finding& f : rating.filming.findings) rating.warnings.push_back(f);
}

/// Of a light nobody measured more of.
LightFigures figures_of_rhythms(const Light& light) {
  LightFigures figures;
  figures.steady_below_percent = light.noise_percent;
  if (light.components.empty()) return figures;
  const LightShare alone{light, 1.0};
  figures.percent_flicker = reasoning::shutters::dominant_percent_flicker({&alone, 1});
  figures.dominant_hz = light.components.front().hz;
  figures.svm = svm(light);
  figures.worst_rhythm = {*figures.dominant_hz, *figures.percent_flicker, 0.0};
  return figures;
}

}  // namespace

FixtureRating rate_light(const Light& light, std::optional<double> readout_s,
                         const PredictionOptions& options, std::span<const FrameRate> rates) {
  const LightFigures figures = light.figures.value_or(figures_of_rhythms(light));
  FixtureRating rating;
  rating.depth_assumed = light.depth == DepthKnown::assumed_deepest;
  if (!rating.depth_assumed) {
    require_known_depth(figures.percent_flicker, figures.steady_below_percent, light.findings);
  }
  rating.capture = light.source;
  rating.percent_flicker = figures.percent_flicker;
  rating.flicker_index = figures.flicker_index;
  rating.dominant_hz = figures.dominant_hz;
  rating.svm = figures.svm;
  if (figures.worst_rhythm) {
    const LightFigures::WorstRhythm& worst = *figures.worst_rhythm;
    rating.ieee = ieee1789(worst.percent, worst.percent_sd, worst.hz, 0.0);
  }
  rating.standards = standard_verdicts({figures.percent_flicker, figures.dominant_hz, figures.svm,
                                        figures.pst_lm, figures.below_200_percent, rating.ieee});
  rating.warnings = light.findings;
  add_filming(rating, light, readout_s, options, rates);
  return rating;
}

FixtureRating rate_capture(const Measurement& m, std::optional<double> readout_s,
                           const PredictionOptions& options, std::span<const FrameRate> rates) {
  FixtureRating rating;
  rating.depth_assumed = !m.mean && !m.deepest.empty();
  if (!rating.depth_assumed) {
    require_known_depth(m.percent_flicker, m.steady_below_percent, m.warnings);
  }
  rating.capture = m.capture;
  rating.percent_flicker = m.percent_flicker;
  rating.flicker_index = m.flicker_index;
  rating.dominant_hz = m.dominant_hz;
  rating.svm = m.svm;
  rating.ieee = m.ieee;
  rating.standards = m.standards;
  rating.warnings = m.warnings;
  const Light light = light_from(m);
  if (rating.depth_assumed) rating.warnings = light.findings;
  add_filming(rating, light, readout_s, options, rates);
  return rating;
}

Findings doubts_of_camera(std::optional<double> readout_s, std::span<const FrameRate> asked) {
  const std::vector<FrameRate> rates = rates_judged_at(asked, readout_s);
  if (!readout_s) return {assumed_readout_finding(rates)};
  if (!asked.empty() || rates.size() == filmed_frame_rates().size()) return {};
  return {
      {"rates_left_out",
       fmt::format("A readout of {} ms allows at most {} fps; faster rates were left out.",
                   words::in_digits_at_most(1e3 * *readout_s, 3), frame_rate_label(rates.back()))}};
}

Findings doubts_of_fixtures(const std::vector<FixtureRating>& fixtures) {
  std::vector<std::string> moved;
  for (const FixtureRating& f : fixtures) {
    const bool is = std::any_of(f.warnings.begin(), f.warnings.end(),
                                [](const Finding& w) { return w.code == "moved_mains"; });
    if (is) moved.push_back(reasoning::advice::name_words(f.fixture));
  }
  if (moved.empty()) return {};
  return {
      {"moved_mains",
       fmt::format("Measured on another mains than the one rated for, and rated as if the depth "
                   "stayed the same, which a driver's need not: {}.",
                   words::listed(moved))}};
}

int compare_ratings(const FixtureRating& a, const FixtureRating& b) {
  const auto left = fitness(a);
  const auto right = fitness(b);
  return left < right ? -1 : right < left ? 1 : 0;
}

std::vector<FixtureRating> rank_fixtures(std::vector<FixtureRating> captures) {
  std::map<std::string, FixtureRating> worst;
  std::map<std::string, int> measured;
  for (FixtureRating& capture : captures) {
    ++measured[capture.fixture];
    const auto found = worst.find(capture.fixture);
    if (found == worst.end()) {
      worst.emplace(capture.fixture, std::move(capture));
    } else if (stands_before(found->second, capture)) {
      found->second = std::move(capture);
    }
  }
  std::vector<FixtureRating> fixtures;
  for (auto& [name, rating] : worst) {
    rating.captures = measured[name];
    fixtures.push_back(std::move(rating));
  }
  std::sort(fixtures.begin(), fixtures.end(), stands_before);
  for (std::size_t i = 0; i < fixtures.size(); ++i) {
    const bool tied = i > 0 && compare_ratings(fixtures[i - 1], fixtures[i]) == 0;
    fixtures[i].rank = tied ? fixtures[i - 1].rank : static_cast<int>(i) + 1;
  }
  return fixtures;
}

}  // namespace lampbeat
