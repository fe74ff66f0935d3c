#include <optional>

#include "lampbeat/filming.hpp"
#include "lampbeat/rating.hpp"
#include "support/catch.hpp"
#include "support/draws.hpp"
#include "support/metering.hpp"
#include "support/spliced_lights.hpp"

using namespace lampbeat;
using namespace metering;
using namespace spliced;

namespace {

/// Two lamps, one after the other, and each for as long by itself.
struct Splice {
  Lamp first, second;
  double rate_hz = 0.0;
  double change_s = 0.0;
  double seconds = 0.0;
  double noise = 0.0;
  unsigned seed = 0;

  Measurement together() const {
    return measured(splice(first, second, change_s, seconds, rate_hz, noise, seed));
  }
  Measurement alone(const Lamp& lamp, double lasts_s) const {
    return measured(splice(lamp, lamp, lasts_s, lasts_s, rate_hz, noise, seed));
  }
};

/// One in six begins with the lamp switched off; either may be as short as half a second.
Splice any_splice(Random& random, int draw) {
  Splice s;
  s.seed = static_cast<unsigned>(draw);
  s.rate_hz = logarithmic(random, 2000, 60000);
  s.seconds = std::max(3.0, std::min(between(random, 3, 20), 3e5 / s.rate_hz));
  s.first = any_lamp(random, s.rate_hz);
  s.second = any_lamp(random, s.rate_hz);
  if (draw % 6 == 0) s.first = {Shape::steady, 0, 0, 0.5, between(random, 0, 0.005), 0};
  const double part = draw % 4 == 0 ? 0.5 : between(random, 0.5, s.seconds - 0.5);
  s.change_s = random() % 2 ? part : s.seconds - part;
  s.noise = logarithmic(random, 1e-4, 0.01);
  return s;
}

/// Whether a figure is as bad as another but for four of their ± and one part in fifty: windows
/// lie otherwise in the spliced recording, and of_windows takes the median up to three in a
/// hundred.
bool as_bad(const std::optional<double>& spliced, const std::optional<double>& alone, double sd) {
  return !alone || !spliced || *spliced >= *alone - 4 * sd - 0.02 * *alone;
}

double sd_of(const std::optional<double>& a, const std::optional<double>& b) {
  return std::hypot(a.value_or(0.0), b.value_or(0.0));
}

void check_as_bad(const Measurement& spliced, const Measurement& alone) {
  const double sd = sd_of(spliced.percent_flicker_sd, alone.percent_flicker_sd);
  const double depth = alone.percent_flicker.value_or(0.0);
  const double relative = depth > 0.0 ? sd / depth : 0.0;
  CHECK(as_bad(spliced.percent_flicker, alone.percent_flicker, sd));
  CHECK(as_bad(spliced.flicker_index, alone.flicker_index,
               sd_of(spliced.flicker_index_sd, alone.flicker_index_sd)));
  // SVM has no ± of its own: that of the depth, in proportion, and the last digit printed.
  CHECK(as_bad(spliced.svm, alone.svm, alone.svm.value_or(0.0) * relative + 0.0025));
  // The brick wall of the low-pass figures rings at the ends of a window by up to a few hundredths
  // of what it cuts off.
  for (const Ja10CutOff cut_off : ja10_cut_offs) {
    const double rings = 0.03 * depth + 6 * alone.noise_percent.value_or(0.0) / 10;
    CHECK(as_bad(spliced.lowpass_percent[cut_off], alone.lowpass_percent[cut_off], sd + rings / 4));
  }
  if (alone.ieee && spliced.ieee) {
    CHECK((!worse(*alone.ieee, *spliced.ieee) || alone.ieee->level == spliced.ieee->level ||
           depth < 1.05 * alone.ieee->no_effect_limit_percent));
  }
  // Never steady where one of the two was not.
  if (spliced.steady_below_percent) {
    CHECK(depth <= 1.1 * *spliced.steady_below_percent);
    CHECK(*spliced.steady_below_percent >= 0.9 * alone.steady_below_percent.value_or(0.0));
  }
}

}  // namespace

TEST_CASE("A splice of two lights is judged no better than the worse one, figure by figure") {
  Random random(21);
  for (int draw = 0; draw < lampbeat::test::draws(150); ++draw) {
    CAPTURE(draw);
    const Splice s = any_splice(random, draw);
    const Measurement m = s.together();
    const bool off = draw % 6 == 0;
    if (!off) check_as_bad(m, s.alone(s.first, s.change_s));
    check_as_bad(m, s.alone(s.second, s.seconds - s.change_s));
    if (off) {
      REQUIRE(m.states.size() >= 2);
      CHECK(m.states.front().dark);
    }
  }
}
