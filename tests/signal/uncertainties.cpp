#include <cmath>

#include "support/catch.hpp"
#include "support/draws.hpp"
#include "support/trials.hpp"

using lampbeat::test::draws;

// The ± of what measure prints, over kinds of light as shops sell them.

namespace {

/// Share of the trials whose error is within 2.5 ±, of every kind and figure.
constexpr double held = 0.95;
/// No wide ± as a way out: half of the errors are larger than this share of theirs.
constexpr double least_median = 0.15;
/// Of a kind's promised trials, that may go without a figure.
constexpr double most_withheld = 0.05;
/// By chance a share of n trials falls so many of its standard deviations short once in 700 tables.
constexpr double chance_sds = 3.0;

void check(const trials::Figure& figure) {
  const auto n = static_cast<double>(figure.off.size());
  const double chance = chance_sds * std::sqrt(held * (1.0 - held) / n);
  CHECK(figure.share_within(2.5) >= held - chance);
}

void check_kind(std::size_t kind) {
  const int all = draws(150);
  lamp_kinds::Random random(1000 + static_cast<unsigned>(kind));
  trials::OfKind figures;
  for (int i = 0; i < all; ++i) trials::take(figures, trials::drawn(kind, random));
  INFO(lamp_kinds::name_of(kind) << ": within 2.5 ± " << figures.percent.share_within(2.5) << ", "
                                 << figures.index.share_within(2.5) << ", "
                                 << figures.hz.share_within(2.5) << "; middle "
                                 << figures.percent.quantile(0.5) << ", "
                                 << figures.index.quantile(0.5));
  check(figures.percent);
  check(figures.index);
  check(figures.hz);
  const double chance = chance_sds * 0.5 / std::sqrt(static_cast<double>(all));
  CHECK(figures.percent.share_within(least_median) <= 0.5 + chance);
  const bool clipped = kind == lamp_kinds::all().size();  // two codes look like two rails
  if (!clipped) CHECK(figures.percent.withheld <= 1 + most_withheld * all);
}

}  // namespace

TEST_CASE("the ± of smooth lights is as rare as it says") {
  for (const std::size_t kind : {0U, 1U, 2U, 8U, 11U}) check_kind(kind);
}

TEST_CASE("the ± of lights with edges is as rare as it says") {
  for (const std::size_t kind : {3U, 4U, 5U, 7U}) check_kind(kind);
}

TEST_CASE("the ± of two rhythms is as rare as it says") {
  for (const std::size_t kind : {9U, 10U}) check_kind(kind);
}

TEST_CASE("the ± of straying clocks and of few codes is as rare as it says") {
  CHECK(lamp_kinds::all().size() == 12);
  for (const std::size_t kind : {6U, 12U}) check_kind(kind);
}
