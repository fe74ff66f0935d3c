// Check points of the transfer functions, taken from the standards' own tables and from well-known
// published anchor values.

#include "lampbeat/clip.hpp"
#include "lampbeat/error.hpp"
#include "support/catch.hpp"

using namespace lampbeat;

namespace {
const TransferFunction bt709{Transfer::bt709, {}};
const TransferFunction srgb{Transfer::srgb, {}};
const TransferFunction hlg{Transfer::hlg, {}};
const TransferFunction pq{Transfer::pq, {}};
}  // namespace

TEST_CASE("ITU-R BT.709-6 item 1.2: the curve passes its defining points") {
  CHECK(encode(bt709, 0.0) == 0.0);
  CHECK(encode(bt709, 1.0) == Approx(1.0).epsilon(1e-12));
  // The two branches meet at L = 0.018, V = 0.081, to the three digits the standard gives.
  CHECK(encode(bt709, 0.01799999) == Approx(0.081).margin(1e-6));
  CHECK(encode(bt709, 0.018) == Approx(0.081).margin(3e-4));
  // 18 % grey card: 1.099 · 0.18^0.45 − 0.099 = 0.4090 (widely published as 40.9 %).
  CHECK(encode(bt709, 0.18) == Approx(0.409).margin(5e-4));
}

TEST_CASE("IEC 61966-2-1: the curve passes its defining points") {
  CHECK(decode(srgb, 0.04045) == Approx(0.0031308).epsilon(1e-4));
  // Code 188 is the well-known half of the light, 0.5029 (from memory); 128 is 0.21586.
  CHECK(decode(srgb, 188.0 / 255.0) == Approx(0.5029).margin(1e-4));
  CHECK(decode(srgb, 128.0 / 255.0) == Approx(0.21586).margin(1e-5));
  CHECK(encode(srgb, 1.0) == Approx(1.0).epsilon(1e-12));
}

TEST_CASE("ITU-R BT.2100-2 table 5: hybrid log-gamma passes its defining points") {
  CHECK(encode(hlg, 1.0 / 12.0) == Approx(0.5).epsilon(1e-12));
  CHECK(encode(hlg, 1.0) == Approx(1.0).margin(1e-7));
  CHECK(encode(hlg, 0.0) == 0.0);
  // ITU-R BT.2408: reference white at 75 % signal is 26.5 % of the scene's peak light (from memory:
  // 0.265); an 18 % card lies near 38 % signal.
  CHECK(decode(hlg, 0.75) == Approx(0.265).margin(5e-4));
  CHECK(encode(hlg, 0.265 * 0.18) == Approx(0.38).margin(0.005));
}

TEST_CASE("ITU-R BT.2100-2 table 4: perceptual quantisation passes published anchors") {
  CHECK(encode(pq, 1.0) == Approx(1.0).epsilon(1e-12));
  // Anchors often quoted with SMPTE ST 2084 (from memory): 100 cd/m² at 50.8 %, 1000 at 75.2 %,
  // ITU-R BT.2408 reference white 203 cd/m² at 58 %.
  CHECK(encode(pq, 0.01) == Approx(0.508).margin(5e-4));
  CHECK(encode(pq, 0.1) == Approx(0.752).margin(5e-4));
  CHECK(encode(pq, 0.0203) == Approx(0.58).margin(2e-3));
  CHECK(decode(pq, 1.5) == Approx(1.0));
}

TEST_CASE("decoding undoes encoding, mirrored below black") {
  for (const TransferFunction& transfer :
       {bt709, srgb, hlg, pq, TransferFunction{Transfer::linear, {}},
        TransferFunction{Transfer::gamma, 2.4}}) {
    CAPTURE(static_cast<int>(transfer.kind));
    double before = -1.0;
    for (int i = -50; i <= 1000; ++i) {
      const double signal = i / 1000.0;
      const double linear = decode(transfer, signal);
      CHECK(linear >= before);
      before = linear;
      // BT.709's rounded constants leave a step of 0.0003 between its branches.
      CHECK(encode(transfer, linear) == Approx(signal).margin(3e-4));
    }
  }
}

TEST_CASE("transfer functions are read by name") {
  CHECK(parse_transfer("bt709").kind == Transfer::bt709);
  CHECK(parse_transfer("srgb").kind == Transfer::srgb);
  CHECK(parse_transfer("hlg").kind == Transfer::hlg);
  CHECK(parse_transfer("pq").kind == Transfer::pq);
  CHECK(parse_transfer("linear").kind == Transfer::linear);
  CHECK(parse_transfer("gamma=2.4").gamma == 2.4);
  for (const char* wrong : {"", "BT709", "gamma", "gamma=", "gamma=x", "gamma=0", "gamma=-2",
                            "gamma=nan", "gamma=2.4x", "log"}) {
    CAPTURE(wrong);
    CHECK_THROWS_AS(parse_transfer(wrong), UsageError);
  }
}
