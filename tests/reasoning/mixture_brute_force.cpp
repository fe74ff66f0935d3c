#include <algorithm>
#include <cmath>
#include <random>

#include "lampbeat/banding.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/prediction.hpp"
#include "reasoning/predict_lights.hpp"
#include "support/brute_force.hpp"
#include "support/catch.hpp"
#include "support/findings.hpp"

using namespace lampbeat;
using namespace predict_lights;
using lampbeat::test::has_finding;

namespace {

/// Two lights added with their shares, the second moved by `later_s`.
brute_force::Waveform mixed(const Light& a, double share_a, const Light& b, double share_b,
                            double later_s) {
  return [=, fa = as_function(a), fb = as_function(b)](double t_s) {
    return (share_a * fa(t_s) + share_b * fb(t_s + later_s)) / (share_a + share_b);
  };
}

}  // namespace

TEST_CASE("a mixture is judged at the worst of every alignment of its lights") {
  std::mt19937 random(21);
  PredictionOptions options;
  options.mains_tolerance_hz = 0.0;
  for (int i = 0; i < 8; ++i) {
    const double hz_a = 2.0 * (i % 2 == 0 ? 50.0 : 60.0);
    const Light a = locked_series(random, hz_a / 2.0, 2);
    // The same rhythm on another phase of the supply, or an unrelated dimmer.
    const bool same = i < 4;
    const Light b =
        same ? locked_series(random, hz_a / 2.0, 2) : series(random, between(random, 150, 700), 2);
    const double hz_b = b.components.front().hz;
    const double share_a = between(random, 0.3, 3.0), share_b = 1.0;
    const Shot shot{{25, 1}, between(random, 5e-4, 8e-3), between(random, 0.002, 0.02), 40};
    double searched = 0.0;
    for (int shift = 0; shift < 48; ++shift) {
      searched = std::max(
          searched, brute_force::worst_banding(
                        mixed(a, share_a, b, share_b, shift / 48.0 / hz_b), as_camera(shot),
                        brute_force::starts_over(1.0 / hz_a, 48),
                        std::max(pieces_for(a, shot.exposure_s), pieces_for(b, shot.exposure_s))));
    }
    const Prediction p =
        predict(std::vector<LightShare>{{a, share_a}, {b, share_b}}, shot, options);
    INFO("case " << i);
    CHECK(100.0 * searched <= p.nominal.band_percent * (1.0 + 1e-5) + 1e-4);
    CHECK(p.nominal.band_percent - 100.0 * searched <=
          std::max(0.012 * p.nominal.band_percent, 0.03));
    CHECK(has_finding(p.findings, "unknown_alignment"));
  }
}

TEST_CASE("scaling all shares changes nothing") {
  std::mt19937 random(22);
  const Light a = locked_series(random, 50.0, 3), b = series(random, 437.0, 3);
  const Shot shot{{25, 1}, 1.0 / 180.0, 0.012, 1080};
  const Prediction once = predict(std::vector<LightShare>{{a, 1.0}, {b, 2.0}}, shot, {});
  const Prediction more = predict(std::vector<LightShare>{{a, 0.07}, {b, 0.14}}, shot, {});
  CHECK(once.nominal.band_percent == Approx(more.nominal.band_percent).epsilon(1e-9));
  CHECK(once.worst.band_percent == Approx(more.worst.band_percent).epsilon(1e-9));
  CHECK(once.nominal.pulse_percent == Approx(more.nominal.pulse_percent).epsilon(1e-9));
  CHECK(once.worst.visibility == Approx(more.worst.visibility).epsilon(1e-9));
}

TEST_CASE("a steady light dilutes a rippling one by its share") {
  const Light rippling = mains_ripple(50.0, 0.4);
  Light steady;
  steady.name = "steady";
  const Shot shot{{25, 1}, 1.0 / 500.0, 0.02, 1080};
  const auto percent = [&](double steady_share) {
    return predict(std::vector<LightShare>{{rippling, 1.0}, {steady, steady_share}}, shot, {})
        .nominal.band_percent;
  };
  const double alone =
      predict(std::vector<LightShare>{{rippling, 1.0}}, shot, {}).nominal.band_percent;
  CHECK(percent(1.0) == Approx(alone / 2.0).epsilon(1e-4));
  CHECK(percent(3.0) == Approx(alone / 4.0).epsilon(1e-4));
}

TEST_CASE("equal lights on three phases of a supply are judged as if they rippled together") {
  // Whether they cancel depends on where the wall is; nothing in three single captures tells.
  const Light l = mains_ripple(50.0, 0.3);
  const Shot shot{{25, 1}, 1.0 / 500.0, 0.02, 1080};
  const double alone = predict(std::vector<LightShare>{{l, 1.0}}, shot, {}).nominal.band_percent;
  const Prediction three = predict(std::vector<LightShare>{{l, 1.0}, {l, 1.0}, {l, 1.0}}, shot, {});
  CHECK(three.nominal.band_percent == Approx(alone).epsilon(1e-6));
  CHECK(has_finding(three.findings, "unknown_alignment"));
}

TEST_CASE("shares and components that make no sense are refused") {
  const Shot shot{{25, 1}, 0.01, 0.01, 1080};
  CHECK_THROWS_AS(predict(std::vector<LightShare>{}, shot, {}), UsageError);
  CHECK_THROWS_AS(predict(std::vector<LightShare>{{mains_ripple(50.0, 0.1), 0.0}}, shot, {}),
                  UsageError);
  CHECK_THROWS_AS(predict(std::vector<LightShare>{{mains_ripple(50.0, 0.1), -1.0}}, shot, {}),
                  UsageError);
  CHECK_THROWS_AS(predict(std::vector<LightShare>{{mains_ripple(50.0, NAN), 1.0}}, shot, {}),
                  UsageError);
  CHECK_THROWS_AS(predict(std::vector<LightShare>{{mains_ripple(50.0, 0.1, 0), 1.0}}, shot, {}),
                  UsageError);
  Light absurd = mains_ripple(50.0, 0.1);
  absurd.components.push_back({1e300, 0.1, 0.0, {}});
  CHECK_THROWS_AS(predict(std::vector<LightShare>{{absurd, 1.0}}, shot, {}), UsageError);
}
