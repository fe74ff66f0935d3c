#include "lampbeat/covering.hpp"

#include <cmath>
#include <functional>
#include <numbers>
#include <random>
#include <vector>

#include "lampbeat/meter.hpp"
#include "support/catch.hpp"
#include "support/draws.hpp"
#include "support/signals.hpp"

// A sound card keeps no level, but a hand over the sensor shows it for a moment.

using namespace lampbeat;
using lampbeat::test::between;
using lampbeat::test::draws;
using lampbeat::test::logarithmic;

namespace {

constexpr double pi = std::numbers::pi;

/// What a hand lets through over time: covered between the times given, each move taking `hand_s`.
struct Hand {
  std::vector<std::pair<double, double>> covered_s;
  double hand_s = 0.02;
  double leak = 0.0;
  double at(double t_s) const {
    double open = 1.0;
    for (const auto& [from_s, to_s] : covered_s) {
      if (t_s < from_s || t_s > to_s) continue;
      const double moved = std::min(t_s - from_s, to_s - t_s) / hand_s;
      open = std::min(open, std::max(leak, 1.0 - moved));
    }
    return open;
  }
};

struct Recorder {
  double rate_hz = 48000.0;
  double corner_hz = 8.0;
  double gain = 0.2;
  double noise = 0.001;
  double sign = 1.0;
};

std::vector<double> recorded(const std::function<double(double)>& light, const Hand& hand,
                             const Recorder& recorder, double seconds, unsigned seed = 1) {
  std::mt19937 random(seed);
  std::normal_distribution<double> noise(0.0, recorder.noise * recorder.gain);
  const double kept = std::exp(-2.0 * pi * recorder.corner_hz / recorder.rate_hz);
  std::vector<double> out(static_cast<std::size_t>(seconds * recorder.rate_hz));
  double before = recorder.gain * light(0.0) * hand.at(0.0);
  double level = 0.0;
  for (std::size_t i = 0; i < out.size(); ++i) {
    const double t_s = static_cast<double>(i) / recorder.rate_hz;
    const double now = recorder.gain * light(t_s) * hand.at(t_s) + noise(random);
    level = kept * (level + now - before);
    before = now;
    out[i] = recorder.sign * level;
  }
  return out;
}

std::optional<Covering> found(std::vector<double> samples, double light_hz, double rate_hz) {
  const auto source = capture_from_samples("a hand", std::move(samples), rate_hz);
  return covering(*source, light_hz, rate_hz);
}

double ripple(double t_s) { return 1.0 + 0.3 * std::cos(2.0 * pi * 120.0 * t_s); }

const Hand twice{{{2.0, 3.0}, {5.0, 6.0}}};

}  // namespace

TEST_CASE("covering and uncovering the sensor gives a recording its mean") {
  std::mt19937 random(1321);
  int told = 0;
  int within = 0;
  for (int i = 0; i < draws(120); ++i) {
    Recorder recorder;
    recorder.corner_hz = logarithmic(random, 2.0, 12.0);
    recorder.gain = logarithmic(random, 0.01, 0.4);
    recorder.rate_hz = i % 2 == 0 ? 48000.0 : 44100.0;
    const double hz = between(random, 95.0, 125.0);
    const double depth = between(random, 0.1, 1.0);
    const double seconds = 9.0;
    Hand hand = twice;
    hand.hand_s = logarithmic(random, 0.003, 0.06);
    hand.leak = between(random, 0.0, 0.03);
    const auto light = [&](double t_s) { return 1.0 + depth * std::cos(2.0 * pi * hz * t_s); };
    const auto c = found(recorded(light, hand, recorder, seconds, 10 + static_cast<unsigned>(i)),
                         hz, recorder.rate_hz);
    INFO(i << ": corner " << recorder.corner_hz << " Hz, hand " << hand.hand_s << " s, leak "
           << hand.leak << ", depth " << depth << ", " << hz << " Hz");
    REQUIRE(c);
    CHECK(c->steps == 4);
    if (!c->why_not.empty()) continue;
    ++told;
    INFO(c->mean_level / recorder.gain << " of the mean, sd " << c->mean_level_sd);
    CHECK_FALSE(c->upside_down);
    CHECK(std::abs(c->mean_level - recorder.gain) <= 4.0 * c->mean_level_sd);
    if (std::abs(c->mean_level - recorder.gain) <= 2.0 * c->mean_level_sd) ++within;
    CHECK(c->coupling_corner_hz == Approx(recorder.corner_hz).epsilon(0.15));
    CHECK(c->from_s >= 6.0);
    CHECK(c->to_s <= seconds);
  }
  CHECK(told >= draws(120) * 7 / 10);
  CHECK(within >= told * 9 / 10);
}

TEST_CASE("covering tells which way up a recording is") {
  Recorder recorder;
  recorder.sign = -1.0;
  const auto c = found(recorded(ripple, twice, recorder, 9.0), 120.0, recorder.rate_hz);
  REQUIRE(c);
  CHECK(c->why_not.empty());
  CHECK(c->upside_down);
  CHECK(c->mean_level == Approx(0.2).epsilon(0.03));
}

TEST_CASE("steps that say different things give no mean") {
  // Automatic gain turned up between them.
  Recorder recorder;
  std::vector<double> samples = recorded(ripple, twice, recorder, 9.0);
  for (std::size_t i = 0; i < samples.size(); ++i) {
    const double t_s = static_cast<double>(i) / recorder.rate_hz;
    if (t_s > 4.0) samples[i] *= 1.25;
  }
  const auto c = found(samples, 120.0, recorder.rate_hz);
  REQUIRE(c);
  CHECK_FALSE(c->why_not.empty());
  CHECK(c->mean_level == 0.0);
}

TEST_CASE("a hand too slow for the coupling gives no mean") {
  Recorder recorder;
  recorder.corner_hz = 20.0;
  Hand slow = twice;
  slow.hand_s = 0.3;
  const auto c = found(recorded(ripple, slow, recorder, 9.0), 120.0, recorder.rate_hz);
  REQUIRE(c);
  CHECK_FALSE(c->why_not.empty());
}

TEST_CASE("a recording nobody covered has no steps") {
  Recorder recorder;
  CHECK_FALSE(found(recorded(ripple, {}, recorder, 6.0), 120.0, recorder.rate_hz));
  CHECK_FALSE(found(recorded(ripple, twice, recorder, 9.0), 30000.0, recorder.rate_hz));
}
