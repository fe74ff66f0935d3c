#include "reasoning/bands/contrast.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <memory_resource>
#include <numbers>

#include "arithmetic/phase.hpp"
#include "reasoning/bands/cycle.hpp"
#include "reasoning/bands/shortlist.hpp"
#include "reasoning/bands/turns.hpp"

namespace lampbeat::reasoning::bands {
namespace {

/// The contrast of a sample with a dark one: all there is, unless both are the same moment.
double of_darkness(double high, double low) {
  constexpr double rounding = 1e-9;
  return high - low > rounding ? 1.0 : 0.0;
}

/// Memory for the tables of one search, which come and go by the thousand: taken piece by piece off
/// one stretch that is there already.
class Desk {
 public:
  std::pmr::memory_resource* memory() { return &memory_; }

 private:
  static constexpr std::size_t most_searches_bytes = std::size_t{1} << 16U;
  std::array<std::byte, most_searches_bytes> stretch_;
  std::pmr::monotonic_buffer_resource memory_{stretch_.data(), stretch_.size()};
};

/// A lone cosine needs no search. Two samples of 1 + a cos φ, a phase 2δ apart, differ most in
/// ratio by a |sin δ| / √(1 − a² cos² δ), which grows with |sin δ|: the best lag is the one nearest
/// to half a cycle.
SamplePair widest_of_cosine(const mixture::Series& rhythm, std::span<const int> lags,
                            double unit_s) {
  constexpr double near_enough = 1e-3;  // cycles; less than 1e-5 of the contrast
  const mixture::Harmonic& cosine = rhythm.harmonics[0];
  const double amplitude = std::abs(cosine.amplitude);
  const double cycles_per_unit = cosine.order * rhythm.hz * unit_s;
  double off = 0.5;
  SamplePair pair;
  for (const int lag : lags) {
    const double here = std::abs(arithmetic::begun_turn(cycles_per_unit * lag) - 0.5);
    if (here >= off) continue;
    off = here;
    pair.lag = lag;
    if (off < near_enough) break;
  }
  const double sine = amplitude * std::sin(std::numbers::pi * (0.5 - off));
  const double in_step = amplitude * std::sin(std::numbers::pi * off);
  // Darkness is within reach, unless every sample falls on the same phase.
  pair.contrast =
      amplitude >= 1.0 ? (sine > 1e-9 ? 1.0 : 0.0) : sine / std::sqrt(1.0 - in_step * in_step);
  pair.phase = {best_phase_of_cosine(cosine, PairWeights(pair.contrast),
                                     arithmetic::begun_turn(rhythm.hz * unit_s * pair.lag))};
  return pair;
}

/// The greatest contrast of a pair exactly `lag` apart, from a contrast it may well reach.
SamplePair widest_at(std::span<Cycle> cycles, int lag, double unit_s, double from, int rounds) {
  SamplePair pair{from, lag, {}};
  std::vector<double> phase(cycles.size());
  for (int round = 0; round < rounds; ++round) {
    double high = 1.0, low = 1.0;
    for (std::size_t i = 0; i < cycles.size(); ++i) {
      const double apart = arithmetic::begun_turn(cycles[i].hz() * (lag * unit_s));
      const Cycle::Pair best = cycles[i].best_pair(PairWeights(pair.contrast), apart);
      phase[i] = best.phase;
      high += best.first;
      low += best.second;
    }
    // Independent rhythms added at their worst can pass below darkness; nothing is darker.
    const double next = low <= 0.0 ? of_darkness(high, low) : (high - low) / (high + low);
    const bool settled = low <= 0.0 || next <= pair.contrast * (1.0 + 1e-7);
    if (round == 0 || next > pair.contrast) {
      pair.contrast = next;
      pair.phase = phase;
    }
    if (settled) break;
  }
  return pair;
}

/// The widest pair over these lags, by Dinkelbach's rounds.
SamplePair widest_over(std::span<Cycle> cycles, std::span<const int> lags, double unit_s,
                       const SearchParameters& search, std::pmr::memory_resource* memory) {
  SamplePair widest;
  LagTable table(cycles, lags, unit_s, memory);
  for (int round = 0; round < search.rounds; ++round) {
    const double before = widest.contrast;
    for (Cycle& cycle : cycles) cycle.weigh(PairWeights(before));
    const auto wanted = static_cast<std::size_t>(search.candidates);
    for (const int lag : table.promising(cycles, wanted)) {
      SamplePair here = widest_at(cycles, lag, unit_s, before, search.pair_rounds);
      if (here.contrast > widest.contrast) widest = std::move(here);
    }
    // The method closes in ever faster: after so small a step the next would be far smaller.
    if (widest.contrast <= before * (1.0 + 1e-5)) break;
  }
  return widest;
}

/// Up the hill the widest pair stands on, over lags that may not have been among those tried.
void climb(SamplePair& widest, std::span<Cycle> cycles, int longest, double unit_s, int rounds) {
  const int from = widest.lag;
  for (const int direction : {-1, 1}) {
    for (int next = from + direction; next != 0 && std::abs(next) <= longest; next += direction) {
      SamplePair here = widest_at(cycles, next, unit_s, widest.contrast, rounds);
      if (here.contrast <= widest.contrast * (1.0 + 1e-9)) break;
      widest = std::move(here);
    }
  }
}

}  // namespace

SamplePair widest_pair(std::span<const mixture::Series> rhythms, std::span<const int> lags,
                       double unit_s, Effort effort) {
  double strongest = 0.0;
  for (const mixture::Series& r : rhythms) {
    strongest = std::max(strongest, mixture::strongest_amplitude(r.harmonics));
  }
  if (strongest <= 0.0 || lags.empty() || !(unit_s > 0.0)) return {};
  if (rhythms.size() == 1 && rhythms[0].harmonics.size() == 1) {
    return widest_of_cosine(rhythms[0], lags, unit_s);
  }

  Desk desk;
  std::vector<Cycle> cycles;
  std::vector<std::size_t> place;  // of each cycle among the rhythms
  cycles.reserve(rhythms.size());
  for (std::size_t i = 0; i < rhythms.size(); ++i) {
    Cycle cycle(rhythms[i], strong_part * strongest, effort, desk.memory());
    if (cycle.empty()) continue;
    cycles.push_back(std::move(cycle));
    place.push_back(i);
  }
  const SearchParameters search = parameters_of(effort);
  SamplePair widest = widest_over(cycles, lags, unit_s, search, desk.memory());
  if (search.climb && widest.lag != 0) {
    climb(widest, cycles, lags.back(), unit_s, search.pair_rounds);
  }
  widest.contrast = std::min(widest.contrast, 1.0);
  std::vector<double> phase(rhythms.size(), 0.0);
  for (std::size_t i = 0; i < widest.phase.size(); ++i) phase[place[i]] = widest.phase[i];
  widest.phase = std::move(phase);
  return widest;
}

double telling_contrast(std::span<const mixture::Series> rhythms, int longest_lag, double unit_s) {
  const auto strongest_of = [](const mixture::Series& r) {
    return std::max_element(r.harmonics.begin(), r.harmonics.end(),
                            [](const mixture::Harmonic& a, const mixture::Harmonic& b) {
                              return std::norm(a.amplitude) < std::norm(b.amplitude);
                            });
  };
  double most = 0.0;
  double strongest_hz = 0.0;
  for (const mixture::Series& r : rhythms) {
    if (r.harmonics.empty()) continue;
    const auto line = strongest_of(r);
    if (std::norm(line->amplitude) <= most) continue;
    most = std::norm(line->amplitude);
    strongest_hz = line->order * r.hz;
  }
  if (!(most > 0.0) || longest_lag < 1) return 0.0;
  const double half_a_cycle = 0.5 / (strongest_hz * unit_s);
  const double lag = std::clamp(std::round(half_a_cycle), 1.0, double(longest_lag));
  double high = 1.0;
  double low = 1.0;
  for (const mixture::Series& r : rhythms) {
    if (r.harmonics.empty()) continue;
    const double apart = arithmetic::begun_turn(r.hz * (lag * unit_s));
    const double phase = best_phase_of_cosine(*strongest_of(r), PairWeights(0.0), apart);
    for (const mixture::Harmonic& h : r.harmonics) {
      const double bright = arithmetic::turn * arithmetic::begun_turn(h.order * phase);
      const double dark = arithmetic::turn * arithmetic::begun_turn(h.order * (phase + apart));
      high += product(h.amplitude, std::polar(1.0, bright)).real();
      low += product(h.amplitude, std::polar(1.0, dark)).real();
    }
  }
  return low <= 0.0 ? of_darkness(high, low) : std::clamp((high - low) / (high + low), 0.0, 1.0);
}

std::vector<double> darkest_phases(std::span<const mixture::Series> rhythms) {
  std::vector<double> phases;
  for (const mixture::Series& r : rhythms) {
    // A pair of one and the same sample, of which only the dark side counts.
    Cycle cycle(r, 0.0, Effort::full, std::pmr::get_default_resource());
    phases.push_back(cycle.best_pair(PairWeights(1.0), 0.0).phase);
  }
  return phases;
}

}  // namespace lampbeat::reasoning::bands
