#include <cmath>
#include <numbers>
#include <string>

#include "lampbeat/comparison.hpp"
#include "support/catch.hpp"
#include "support/compared_pairs.hpp"
#include "support/draws.hpp"
#include "support/metering.hpp"

// Better, worse, unchanged: each only where it is known.

using namespace lampbeat;

namespace {

constexpr double rate_hz = 20000.0;
constexpr double two_pi = 2.0 * std::numbers::pi;

/// A mean of 1, a ripple of this percent flicker, a second of it or more.
signals::Samples rippled(double percent, double hz, unsigned seed, double noise = 0.005,
                         double seconds = 1.5) {
  return metering::recording(
      rate_hz, seconds, [=](double t) { return 1.0 + percent / 100.0 * std::cos(two_pi * hz * t); },
      noise, seed);
}

Occasion seen(const signals::Samples& samples, const MeasurementSettings& settings = {}) {
  return occasion_of(metering::measured(samples, settings));
}

Comparison compared(const Occasion& before, const Occasion& after) {
  return compare("a lamp", {before, after});
}

const FigureChange& figure(const Comparison& c, const std::string& name) {
  for (const FigureChange& f : c.figures) {
    if (f.before.name == name) return f;
  }
  FAIL("no figure " << name);
  return c.figures.front();
}

/// Both ways round.
void check(const Occasion& one, const Occasion& other, ChangeVerdict forth, ChangeVerdict back) {
  const Comparison there = compared(one, other);
  INFO((there.reasons.empty() ? std::string() : there.reasons.front().message));
  CHECK(std::string(change_word(there.verdict)) == change_word(forth));
  CHECK(std::string(change_word(compared(other, one).verdict)) == change_word(back));
  CHECK_FALSE(there.reasons.empty());
}

}  // namespace

TEST_CASE("the same light is unchanged, a deeper one worse, and the other way round better") {
  const Occasion lamp = seen(rippled(20.0, 100.0, 1));
  check(lamp, seen(rippled(20.0, 100.0, 2)), ChangeVerdict::unchanged, ChangeVerdict::unchanged);
  check(lamp, seen(rippled(21.0, 100.0, 3)), ChangeVerdict::worse, ChangeVerdict::better);
  check(lamp, lamp, ChangeVerdict::unchanged, ChangeVerdict::unchanged);
}

TEST_CASE("a figure changed where it moved by more than 3.3 of both uncertainties together") {
  test::Random random(33);
  const auto seed = [&] { return static_cast<unsigned>(random()); };
  for (int i = 0; i < test::draws(60); ++i) {
    const double percent = test::logarithmic(random, 1.0, 60.0);
    const double more = percent * (1.0 + test::between(random, -2e-3, 2e-3));
    const Comparison c =
        compared(seen(rippled(percent, 100.0, seed())), seen(rippled(more, 100.0, seed())));
    for (const FigureChange& f : c.figures) {
      if (!f.uncertainty) {
        CHECK_FALSE(f.changed.has_value());  // nor did it change by much
        continue;
      }
      CHECK(*f.change == *f.after.value - *f.before.value);
      CHECK(*f.uncertainty == Approx(std::hypot(*f.before.sd, *f.after.sd)));
      if (f.note.empty()) CHECK(*f.changed == (std::abs(*f.change) > 3.3 * *f.uncertainty));
    }
  }
}

TEST_CASE("a lamp that followed its mains did not change, a clock of its own that moved did") {
  const Occasion slow = seen(rippled(30.0, 119.94, 1));
  const Comparison followed = compared(slow, seen(rippled(30.0, 120.04, 2)));
  CHECK(followed.verdict == ChangeVerdict::unchanged);
  CHECK(figure(followed, "dominant_hz").changed == false);
  CHECK(std::abs(*figure(followed, "dominant_hz").change) >
        3.3 * *figure(followed, "dominant_hz").uncertainty);

  const Comparison moved = compared(seen(rippled(30.0, 310.0, 1)), seen(rippled(30.0, 335.0, 2)));
  CHECK(moved.verdict == ChangeVerdict::worse);
  CHECK(moved.reasons.front().code == "rhythm_moved");
  CHECK(figure(moved, "dominant_hz").changed == true);
  // Within what a shutter chosen for it allows.
  CHECK(compared(seen(rippled(30.0, 310.0, 1)), seen(rippled(30.0, 311.0, 2))).verdict ==
        ChangeVerdict::unchanged);
  // Where any shutter is clean, none was matched to it.
  Occasion faint = seen(rippled(30.0, 310.0, 1));
  Occasion faint_moved = seen(rippled(30.0, 335.0, 2));
  for (Occasion* occasion : {&faint, &faint_moved}) {
    for (LightComponent& c : occasion->light->components) c.amplitude *= 1e-5;
    occasion->light->other_states.clear();
  }
  const Comparison fast = compared(faint, faint_moved);
  INFO(fast.reasons.front().message);
  CHECK(fast.verdict == ChangeVerdict::unchanged);
}

TEST_CASE("nothing found is compared with what would have been") {
  const Occasion steady = seen(rippled(0.0, 100.0, 1, 0.001));
  REQUIRE(steady.figures.front().at_most.has_value());
  check(steady, seen(rippled(5.0, 100.0, 2, 0.001)), ChangeVerdict::worse, ChangeVerdict::better);
  check(steady, seen(rippled(0.0, 100.0, 3, 0.001)), ChangeVerdict::unchanged,
        ChangeVerdict::unchanged);
  // Noise that could hide what was ruled out before is no proof, and no change either.
  const Occasion noisy = seen(rippled(0.0, 100.0, 4, 0.3));
  REQUIRE(noisy.figures.front().at_most > 1.0);
  CHECK(compared(steady, noisy).verdict == ChangeVerdict::unknown);
}

TEST_CASE("nothing good is proved of what was not measured alike") {
  const Occasion lamp = seen(rippled(20.0, 100.0, 1));
  SECTION("without its level") {
    auto lost = rippled(20.0, 100.0, 2);
    for (double& value : lost.value) value -= 1.0;
    check(lamp, seen(lost), ChangeVerdict::unknown, ChangeVerdict::unknown);
  }
  SECTION("another measurement version") {
    Occasion old = lamp;
    old.measurement_version = *lamp.measurement_version - 1;
    check(old, lamp, ChangeVerdict::unknown, ChangeVerdict::unknown);
    const Comparison c = compared(old, seen(rippled(40.0, 100.0, 2)));
    CHECK(c.verdict == ChangeVerdict::unknown);
    CHECK(c.reasons.front().code == "measurement_version_changed");
    for (const FigureChange& f : c.figures) CHECK_FALSE(f.changed.has_value());
  }
  SECTION("another set-up of the sensor") {
    MeasurementSettings slow_sensor;
    slow_sensor.sensor_corner_hz = 800.0;
    const Occasion undone = seen(rippled(20.0, 100.0, 2), slow_sensor);
    check(lamp, undone, ChangeVerdict::unknown, ChangeVerdict::unknown);
    CHECK(compared(lamp, undone).reasons.front().code == "set_up_changed");
    MeasurementSettings covered;
    covered.dark_level = 0.0;
    check(lamp, seen(rippled(20.0, 100.0, 2), covered), ChangeVerdict::unknown,
          ChangeVerdict::unknown);
  }
  SECTION("nobody wrote the set-up down") {
    auto measurement = metering::measured(rippled(20.0, 100.0, 2));
    measurement.set_up.reset();
    check(lamp, occasion_of(measurement), ChangeVerdict::unknown, ChangeVerdict::unknown);
  }
  SECTION("a figure without its uncertainty") {
    auto measurement = metering::measured(rippled(20.0, 100.0, 2));
    measurement.percent_flicker_sd.reset();
    measurement.flicker_index_sd.reset();
    check(lamp, occasion_of(measurement), ChangeVerdict::unknown, ChangeVerdict::unknown);
  }
  SECTION("dimmed in the middle") {
    auto dimmed = rippled(20.0, 100.0, 2, 0.005, 6.0);
    for (std::size_t i = dimmed.value.size() / 2; i < dimmed.value.size(); ++i) {
      dimmed.value[i] = 1.0 + 2.0 * (dimmed.value[i] - 1.0);
    }
    const Occasion both = seen(dimmed);
    REQUIRE(both.states != lamp.states);
    check(lamp, both, ChangeVerdict::worse, ChangeVerdict::unknown);
  }
  SECTION("sampled too slowly for what was there") {
    const auto ripple = [](double t) {
      return 1.0 + 0.05 * std::cos(two_pi * 100.0 * t) + 0.05 * std::cos(two_pi * 7300.0 * t);
    };
    const Occasion fast = seen(metering::recording(48000.0, 1.5, ripple, 0.001, 1));
    const Occasion slow = seen(rippled(5.0, 100.0, 2, 0.001));
    Occasion slower = slow;
    slower.seen_to_hz = 4000.0;
    CHECK(compared(fast, slower).verdict == ChangeVerdict::unknown);
    CHECK(compared(fast, slow).verdict == ChangeVerdict::better);
  }
}

TEST_CASE("a rhythm that would have been seen before is worse, though the depth stayed") {
  const Occasion lamp = seen(rippled(20.0, 100.0, 1));
  Occasion other = seen(rippled(20.0, 100.0, 2));
  other.rhythms.push_back({50.0, 0.001, 1.0, 0.01, 1});
  CHECK(compared(lamp, other).verdict == ChangeVerdict::worse);
  CHECK(compared(lamp, other).reasons.front().code == "new_rhythm");
  other.rhythms.back() = {400.0, 0.001, 1.0, 0.01, 8};  // of the same series
  CHECK(compared(lamp, other).verdict == ChangeVerdict::unchanged);
  other.clock_spread_percent = 0.0;
  other.rhythms.back() = {431.0, 0.001, 2.0, 0.01, {}};
  CHECK(compared(lamp, other).verdict == ChangeVerdict::worse);
  other.clock_spread_percent = 2.0;  // its lines are others each time
  CHECK(compared(lamp, other).verdict == ChangeVerdict::unchanged);
  other.clock_spread_percent = 0.0;
  other.rhythms.back() = {103.0, 0.001, 2.0, 0.01, {}};  // beside what was there
  CHECK(compared(lamp, other).verdict == ChangeVerdict::unchanged);
  other.rhythms.back() = {431.0, 0.001, 0.2, 0.01, {}};  // weaker than what comes and goes
  CHECK(compared(lamp, other).verdict == ChangeVerdict::unchanged);
  other.rhythms.back() = {9900.0, 0.001, 1.0, 0.01, {}};  // where the filter ends
  CHECK(compared(lamp, other).verdict == ChangeVerdict::unchanged);
}

TEST_CASE("a rhythm that got deeper is worse, whatever the swing of all of them did") {
  const auto light = [](double first, double second, double second_rad, unsigned seed) {
    return seen(metering::recording(
        rate_hz, 3.0,
        [=](double t) {
          return 1.0 + first * std::cos(two_pi * 100.0 * t) +
                 second * std::cos(two_pi * 200.0 * t + second_rad);
        },
        0.005, seed));
  };
  const Occasion before = light(0.30, 0.03, 0.0, 1);
  const Comparison c = compared(before, light(0.26, 0.07, 1.5, 2));
  CHECK(c.verdict == ChangeVerdict::worse);
  CHECK(c.reasons.front().code == "deeper_rhythm");
  CHECK(compared(before, light(0.30, 0.03, 0.0, 3)).verdict == ChangeVerdict::unchanged);
  // A ripple whose frequency is a multiple of what was there is new all the same.
  const Comparison ripple = compared(before, seen(metering::recording(
                                                 rate_hz, 3.0,
                                                 [](double t) {
                                                   return 1.0 +
                                                          0.26 * std::cos(two_pi * 100.0 * t) +
                                                          0.05 * std::cos(two_pi * 3300.0 * t);
                                                 },
                                                 0.005, 4)));
  CHECK(ripple.verdict == ChangeVerdict::worse);
}

TEST_CASE("a filming class that differs within the uncertainty of the depth is no change") {
  // The depth at which this light leaves its class, by halving.
  const Occasion lamp = seen(rippled(20.0, 100.0, 1));
  const auto class_at = [&](double percent) {
    Light light = *lamp.light;
    light.components = {{100.0, percent / 100.0, 0.0, 2}};
    return rate_for_filming(light, {}, {}).filming;
  };
  double low = 0.2;
  double high = 20.0;
  REQUIRE(class_at(low) != class_at(high));
  while (high / low > 1.0005) {
    const double middle = std::sqrt(low * high);
    (class_at(middle) == class_at(0.2) ? low : high) = middle;
  }
  const auto at = [&](double percent, double sd) {
    Occasion occasion = lamp;
    occasion.figures = {
        {"percent_flicker", "percent flicker", "%", FigureRole::depth, percent, sd, {}}};
    occasion.rhythms = {{100.0, 0.001, percent, sd, 2}};
    occasion.light->components = {{100.0, percent / 100.0, 0.0, 2}};
    return occasion;
  };
  const Comparison near = compared(at(low, 0.01 * low), at(high, 0.01 * high));
  CHECK(near.filming_before->filming != near.filming_after->filming);
  CHECK(near.verdict == ChangeVerdict::unchanged);
  CHECK(has_finding(near.reasons, "filming_at_an_edge"));
  // The same step, measured closely enough to tell.
  CHECK(compared(at(low, 1e-6), at(high, 1e-6)).verdict == ChangeVerdict::worse);
  CHECK(compared(at(high, 1e-6), at(low, 1e-6)).verdict == ChangeVerdict::better);
}

TEST_CASE("one measurement is no comparison, and like is compared with like") {
  const Occasion lamp = seen(rippled(20.0, 100.0, 1));
  CHECK(compare("a lamp", {}).verdict == ChangeVerdict::unknown);
  CHECK(compare("a lamp", {lamp}).verdict == ChangeVerdict::unknown);
  Occasion clip = lamp;
  clip.kind = OccasionKind::clip;
  CHECK(compared(lamp, clip).verdict == ChangeVerdict::unknown);
  CHECK(compared(lamp, clip).reasons.front().code == "kinds_differ");
}

TEST_CASE("what lies between the first and the last is the course, and decides nothing") {
  const Occasion lamp = seen(rippled(20.0, 100.0, 1));
  const Occasion deep = seen(rippled(60.0, 100.0, 2));
  const Comparison c = compare("a lamp", {lamp, deep, seen(rippled(20.0, 100.0, 3))});
  CHECK(c.verdict == ChangeVerdict::unchanged);
  CHECK(c.course.size() == 3);
}

TEST_CASE("captures of one light are unchanged, of lights six combined ± apart told") {
  const int all = test::draws(40);
  int same = 0;
  int unchanged = 0;
  int better = 0;
  int apart = 0;
  int told = 0;
  for (std::size_t kind = 0; kind < lamp_kinds::all().size(); ++kind) {
    test::Random random(4242 + static_cast<unsigned>(kind));
    for (int i = 0; i < all / 2; ++i) {
      const compared_pairs::Pair pair = compared_pairs::drawn(kind, random, 6.0);
      ++same;
      unchanged += pair.same.verdict == ChangeVerdict::unchanged ? 1 : 0;
      apart += pair.deeper ? 1 : 0;
      told += pair.deeper && pair.deeper->verdict == ChangeVerdict::worse ? 1 : 0;
      better += pair.same.verdict == ChangeVerdict::better ? 1 : 0;
    }
  }
  // 99 of 100, and by chance so many fewer once in 700 tries.
  const auto least = [](int n) { return 0.99 * n - 3.0 * std::sqrt(0.99 * 0.01 * n); };
  CHECK(unchanged >= least(same));
  CHECK(2 * better <= same - least(same));
  CHECK(told >= least(apart));
  CHECK(apart > same / 4);
}
