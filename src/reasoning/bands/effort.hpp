#pragma once

namespace lampbeat::reasoning::bands {

/// How hard to look for a contrast.
enum class Effort {
  quick,  ///< to find out where to look: a few per cent of the fastest harmonic may be missed
  full    ///< within 0.1 % of the value
};

/// What an effort comes to. A quick look costs about a thirtieth of a full one.
struct SearchParameters {
  /// A cycle is sampled so many times for each order of its fastest strong harmonic, but never more
  /// coarsely or finely than the two limits: a straight line between 32 samples misses 0.5 % of a
  /// cosine, between 10 of them 5 %. The refined phase of a full search makes up for the rest.
  int samples_per_harmonic;
  int fewest_samples, most_samples;
  bool weak_harmonics;  ///< whether those below `strong_part` of the strongest count at all
  /// More lags than this are sampled; 1200 are finer than any pattern in a picture needs.
  int most_lags;
  /// Pairs looked at exactly in each round, twice over (the best of all, and of separate hills).
  int candidates;
  int rounds;       ///< of weighing every lag anew, at most; each about squares what is missing
  int pair_rounds;  ///< the same for one pair
  bool climb;       ///< whether neighbours of the best lag are tried that the sample left out
};

/// Harmonics below this part of the strongest are too weak to decide how finely to look.
inline constexpr double strong_part = 0.01;

constexpr SearchParameters parameters_of(Effort effort) {
  return effort == Effort::full ? SearchParameters{32, 128, 1024, true, 1200, 4, 5, 8, true}
                                : SearchParameters{10, 40, 320, false, 160, 1, 2, 2, false};
}

}  // namespace lampbeat::reasoning::bands
