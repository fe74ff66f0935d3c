#pragma once

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <random>
#include <string_view>

// Cases drawn at random.

namespace lampbeat::test {

/// How many of `all` random draws a property test makes: a tenth, so that the default suite stays
/// short; every one where LAMPBEAT_DRAWS is "all" (CI), and no more than ten or a hundredth where
/// it is "few" (under the sanitizers, which judge memory and no figures).
inline int draws(int all) {
  const char* set = std::getenv("LAMPBEAT_DRAWS");
  const std::string_view asked = set ? set : "";
  if (asked == "all") return all;
  const int tenth = (all + 9) / 10;
  return asked == "few" ? std::min(tenth, std::max(10, all / 100)) : tenth;
}

using Random = std::mt19937;

/// Evenly spread over low ... high.
template <typename Engine>
double between(Engine& random, double low, double high) {
  return std::uniform_real_distribution<double>(low, high)(random);
}

/// Its logarithm evenly spread: as often in every octave of low ... high.
template <typename Engine>
double logarithmic(Engine& random, double low, double high) {
  return std::exp(between(random, std::log(low), std::log(high)));
}

/// True for this share of the draws.
template <typename Engine>
bool often(Engine& random, double share) {
  return between(random, 0.0, 1.0) < share;
}

}  // namespace lampbeat::test
