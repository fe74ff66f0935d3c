#include <algorithm>
#include <random>

#include "lampbeat/error.hpp"
#include "lampbeat/rating.hpp"
#include "support/catch.hpp"

using namespace lampbeat;

namespace {

FixtureRating rated(const std::string& name, FilmingClass filming, std::optional<double> exposure_s,
                    std::optional<double> fps, double percent, double stops = 0.5) {
  FixtureRating f;
  f.fixture = name;
  f.capture = name + ".wav";
  f.filming = {filming, exposure_s, fps, {}, stops, {}};
  f.percent_flicker = percent;
  return f;
}

std::vector<std::string> names(const std::vector<FixtureRating>& fixtures) {
  std::vector<std::string> result;
  for (const auto& f : fixtures) result.push_back(f.fixture);
  return result;
}

constexpr auto any = FilmingClass::any_shutter;
constexpr auto ordinary = FilmingClass::ordinary_shutters;
constexpr auto matched = FilmingClass::matched_shutters_only;
constexpr auto none = FilmingClass::no_safe_shutter;

}  // namespace

TEST_CASE(
    "fixtures rank by class, stops, exposure, frame rate and percent flicker, in that order") {
  const auto ranked =
      rank_fixtures({rated("h", none, std::nullopt, std::nullopt, 2, 0.0),
                     rated("g", matched, std::nullopt, 60, 1), rated("f", matched, 0.01, 50, 40),
                     rated("e", matched, 0.01, 60, 50), rated("d", matched, 0.01, 60, 30),
                     rated("c", matched, std::nullopt, 25, 60, 0.6),
                     rated("b", ordinary, 0.01, 24, 60, 0.1), rated("a", any, 0, 240, 60)});
  CHECK(names(ranked) == std::vector<std::string>{"a", "b", "c", "d", "e", "f", "g", "h"});
}

TEST_CASE("equal ratings share a rank, stand by name, and the next rank counts them") {
  const auto ranked = rank_fixtures(
      {rated("z", any, 0, 240, 1), rated("m", any, 0, 240, 1), rated("a", any, 0, 240, 2)});
  CHECK(names(ranked) == std::vector<std::string>{"m", "z", "a"});
  CHECK(ranked[0].rank == 1);
  CHECK(ranked[1].rank == 1);
  CHECK(ranked[2].rank == 3);
}

TEST_CASE("the worst capture of a fixture decides and is named") {
  auto full = rated("pendant", any, 0, 240, 1);
  full.level = "full";
  auto dim = rated("pendant", matched, 0.02, 25, 80);
  dim.level = "20 %";
  dim.capture = "pendant-dim.wav";
  for (const auto& order : {std::vector{full, dim}, std::vector{dim, full}}) {
    const auto ranked = rank_fixtures(order);
    REQUIRE(ranked.size() == 1);
    CHECK(ranked[0].level == "20 %");
    CHECK(ranked[0].capture == "pendant-dim.wav");
    CHECK(ranked[0].captures == 2);
  }
}

TEST_CASE("the ranking does not depend on the order given") {
  std::mt19937 engine(5);
  const auto random = [&](int below) {
    return std::uniform_int_distribution(0, below - 1)(engine);
  };
  std::vector<FixtureRating> shelf;
  for (int i = 0; i < 60; ++i) {
    const auto filming = static_cast<FilmingClass>(random(4));
    const auto exposure = random(3) ? std::optional<double>(0.01 * (random(3))) : std::nullopt;
    const auto fps = random(3) ? std::optional<double>(24.0 * (random(3))) : std::nullopt;
    shelf.push_back(rated("lamp " + std::to_string(random(25)), filming, exposure, fps,
                          static_cast<double>(random(3)), 0.5 * random(3)));
    shelf.back().capture = std::to_string(i);
  }
  const auto first = rank_fixtures(shelf);
  for (int round = 0; round < 20; ++round) {
    std::shuffle(shelf.begin(), shelf.end(), engine);
    const auto again = rank_fixtures(shelf);
    REQUIRE(names(again) == names(first));
    for (std::size_t i = 0; i < first.size(); ++i) {
      CHECK(again[i].capture == first[i].capture);
      CHECK(again[i].rank == first[i].rank);
    }
  }
}

TEST_CASE("a capture without percent flicker is refused with the measurement's own reason") {
  Measurement m;
  m.warnings = {{"no_dc_level", "The recorder removed the mean level."}};
  try {
    rate_capture(m, 0.016, {});
    FAIL("it was rated");
  } catch (const InputError& error) {
    CHECK(std::string(error.what()).find("removed the mean level") != std::string::npos);
  }
}
