#pragma once

#include <cmath>
#include <cstdlib>
#include <random>
#include <string_view>

// Cases drawn at random.

namespace lampbeat::test {

/// How many of `all` random draws a property test makes: a tenth, so that the default suite stays
/// short, and every one where LAMPBEAT_DRAWS is "all" (CI).
inline int draws(int all) {
  const char* asked = std::getenv("LAMPBEAT_DRAWS");
  return asked && std::string_view(asked) == "all" ? all : (all + 9) / 10;
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
