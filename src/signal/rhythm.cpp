#include "signal/rhythm.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace lampbeat {

namespace {

struct Candidate {
  Rhythm rhythm;
  double strength = 0.0;
};

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

Candidate slowest_shared_period(const ToneSeries& series) {
  Candidate candidate;
  const double strongest = series.tones.front().amplitude;
  int shared = 0;
  for (const Tone& tone : series.tones) {
    candidate.strength += tone.amplitude;
    if (tone.amplitude >= decides_period * strongest) shared = std::gcd(shared, tone.order);
  }
  shared = std::max(shared, 1);
  candidate.rhythm.hz = shared * series.fundamental_hz;
  // Any phase serves for folding; the strongest tone's puts its crest near the cycle's start.
  const Tone& lead = series.tones.front();
  candidate.rhythm.phase_rad = lead.phase_rad * shared / std::max(lead.order, 1);
  return candidate;
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
  const auto negligible = [&](const Candidate& c) {
    return c.strength < matters_of_mean * std::abs(tones.mean) ||
           c.strength < matters_of_strongest * candidates.front().strength;
  };
  while (candidates.size() > 1 && negligible(candidates.back())) candidates.pop_back();
  RhythmChoice choice;
  choice.unrelated = static_cast<int>(candidates.size());
  for (const Candidate& candidate : candidates) {
    if (choice.rhythms.size() < 2) {
      choice.rhythms.push_back(candidate.rhythm);
    } else {
      choice.left_out += candidate.strength;
    }
  }
  return choice;
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

}  // namespace lampbeat
