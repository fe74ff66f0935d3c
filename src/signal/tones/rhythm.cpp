#include "signal/tones/rhythm.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "arithmetic/phase.hpp"

namespace lampbeat::signal::tones {

namespace {

struct Candidate {
  Rhythm rhythm;
  std::vector<const ToneSeries*> series;  ///< whose fundamentals it is made of
  std::vector<Tone> members;              ///< tones that repeat with it
  std::vector<Tone> traces;               ///< the others of those series
  double hz_sd = 0.0;
  double strength = 0.0;
  bool of_mains = false;
};

/// Standard deviations within which a ratio counts as met: noise parts one in a thousand.
constexpr double surely_sds = 3.3;
/// A ratio known worse than this meets some few times the other by chance: with up to eight
/// divisors tried, each met by 2 · 0.002 of all strangers, once in thirty.
constexpr double known_ratio = 0.002;
/// What exact frequencies may miss a ratio by: roundings, with room to spare.
constexpr double rounding = 1e-9;

/// A tone this much weaker than its series' strongest does not decide the period: a trace of the
/// mains frequency must not halve the number of cycles that are averaged for nothing.
constexpr double decides_period = 1e-3;

/// A pulse caught by a single sample of each period has harmonics that are all equally strong; the
/// rhythm people mean is then the lowest.
constexpr double as_strong = 0.99;
/// A rhythm that moves percent flicker by less than a tenth of a point, or is a five-hundredth of
/// the strongest one, is listed but not worth a cycle of its own.
constexpr double matters_of_mean = 1e-3;
constexpr double matters_of_strongest = 2e-3;
/// A fold has no more dimensions.
constexpr std::size_t most_rhythms = 2;

Candidate slowest_shared_period(const ToneSeries& series) {
  Candidate candidate;
  const double strongest = series.tones.front().amplitude;
  int shared = 0;
  for (const Tone& tone : series.tones) {
    candidate.strength += tone.amplitude;
    if (tone.amplitude >= decides_period * strongest) shared = std::gcd(shared, tone.order);
  }
  shared = std::max(shared, 1);
  candidate.series = {&series};
  for (const Tone& tone : series.tones) {
    (tone.order % shared == 0 ? candidate.members : candidate.traces).push_back(tone);
  }
  candidate.rhythm.hz = shared * series.fundamental_hz;
  candidate.hz_sd = shared * series.fundamental_hz_sd;
  candidate.of_mains = series.kind == SeriesKind::mains_locked;
  // Any phase serves for folding; the strongest tone's puts its crest near the cycle's start.
  const Tone& lead = series.tones.front();
  candidate.rhythm.phase_rad = lead.phase_rad * shared / std::max(lead.order, 1);
  return candidate;
}

/// The period two rhythms share when their frequencies are as a few to a few: the slower of them
/// divided by this. Empty when they are not.
std::optional<int> shared_divisor(const Candidate& a, const Candidate& b) {
  const Candidate& slow = a.rhythm.hz < b.rhythm.hz ? a : b;
  const Candidate& fast = a.rhythm.hz < b.rhythm.hz ? b : a;
  const double ratio = fast.rhythm.hz / slow.rhythm.hz;
  const double sd = ratio * std::hypot(fast.hz_sd / fast.rhythm.hz, slow.hz_sd / slow.rhythm.hz);
  for (int divisor = 1; divisor <= few_times; ++divisor) {
    const double times = divisor * ratio;
    if (times > few_times + 0.5) break;
    const double play = surely_sds * divisor * sd + rounding;
    if (play < known_ratio && arithmetic::off_whole(times) < play) return divisor;
  }
  return std::nullopt;
}

void append(std::vector<Tone>& all, const std::vector<Tone>& more) {
  all.insert(all.end(), more.begin(), more.end());
}

/// Makes one of free-running rhythms that are parts of one: their phases are no accident.
void join_related(std::vector<Candidate>& candidates) {
  for (std::size_t i = 0; i < candidates.size(); ++i) {
    for (std::size_t k = i + 1; k < candidates.size();) {
      Candidate& stronger = candidates[i];
      const Candidate& other = candidates[k];
      const bool free = !stronger.of_mains && !other.of_mains;
      const std::optional<int> divisor = free ? shared_divisor(stronger, other) : std::nullopt;
      if (!divisor) {
        ++k;
        continue;
      }
      // The stronger knows its frequency better.
      const double shared_hz = std::min(stronger.rhythm.hz, other.rhythm.hz) / *divisor;
      const double times = std::round(stronger.rhythm.hz / shared_hz);
      stronger.rhythm.hz /= times;
      stronger.rhythm.phase_rad /= times;
      stronger.rhythm.pulses *= static_cast<int>(times);
      stronger.hz_sd /= times;
      stronger.strength += other.strength;
      stronger.series.insert(stronger.series.end(), other.series.begin(), other.series.end());
      append(stronger.members, other.members);
      append(stronger.traces, other.traces);
      candidates.erase(candidates.begin() + static_cast<std::ptrdiff_t>(k));
    }
  }
}

}  // namespace

RhythmChoice choose_rhythms(const ToneAnalysis& tones) {
  std::vector<Candidate> candidates;
  for (const ToneSeries& series : tones.series) {
    if (series.kind == SeriesKind::sideband || series.tones.empty()) continue;
    candidates.push_back(slowest_shared_period(series));
  }
  std::stable_sort(candidates.begin(), candidates.end(),
                   [](const auto& a, const auto& b) { return a.strength > b.strength; });
  join_related(candidates);
  const auto negligible = [&](const Candidate& c) {
    return c.strength < matters_of_mean * std::abs(tones.mean) ||
           c.strength < matters_of_strongest * candidates.front().strength;
  };
  while (candidates.size() > 1 && negligible(candidates.back())) candidates.pop_back();
  RhythmChoice choice;
  choice.unrelated = static_cast<int>(candidates.size());
  std::vector<const ToneSeries*> chosen;
  for (Candidate& candidate : candidates) {
    if (choice.rhythms.size() == most_rhythms) {
      choice.left_out += candidate.strength;
      continue;
    }
    choice.rhythms.push_back(candidate.rhythm);
    choice.members.push_back(std::move(candidate.members));
    choice.fundamental.push_back(candidate.series.front()->fundamental);
    append(choice.traces, candidate.traces);
    chosen.insert(chosen.end(), candidate.series.begin(), candidate.series.end());
  }
  for (const ToneSeries& series : tones.series) {
    if (std::find(chosen.begin(), chosen.end(), &series) != chosen.end()) continue;
    append(series.kind == SeriesKind::sideband ? choice.sidebands : choice.others, series.tones);
  }
  return choice;
}

RhythmChoice every_tone_alone(const ToneAnalysis& tones) {
  RhythmChoice choice;
  for (const ToneSeries& series : tones.series) append(choice.others, series.tones);
  return choice;
}

const ToneSeries* leading_series(const ToneAnalysis& tones) {
  for (const ToneSeries& series : tones.series) {
    if (series.kind != SeriesKind::sideband && !series.tones.empty()) return &series;
  }
  return nullptr;
}

const Tone* strongest_tone(const ToneAnalysis& tones) {
  double most = 0.0;
  for (const ToneSeries& series : tones.series) {
    for (const Tone& tone : series.tones) most = std::max(most, tone.amplitude);
  }
  const Tone* strongest = nullptr;
  for (const ToneSeries& series : tones.series) {
    for (const Tone& tone : series.tones) {
      if (tone.amplitude < as_strong * most) continue;
      if (!strongest || tone.hz < strongest->hz) strongest = &tone;
    }
  }
  return strongest;
}

}  // namespace lampbeat::signal::tones
