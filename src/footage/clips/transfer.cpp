#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>

#include "lampbeat/clip.hpp"
#include "lampbeat/error.hpp"
#include "words/number_reader.hpp"

namespace lampbeat {

namespace {

/// All but gamma, which has a number.
struct NamedCurve {
  std::string_view name;
  Transfer kind;
};
constexpr std::array named_curves = {
    NamedCurve{"bt709", Transfer::bt709}, NamedCurve{"srgb", Transfer::srgb},
    NamedCurve{"hlg", Transfer::hlg}, NamedCurve{"pq", Transfer::pq},
    NamedCurve{"linear", Transfer::linear}};

// ITU-R BT.709-6, item 1.2.
double bt709_encode(double linear) {
  return linear < 0.018 ? 4.5 * linear : 1.099 * std::pow(linear, 0.45) - 0.099;
}
double bt709_decode(double signal) {
  return signal < 0.081 ? signal / 4.5 : std::pow((signal + 0.099) / 1.099, 1.0 / 0.45);
}

// IEC 61966-2-1:1999.
double srgb_encode(double linear) {
  return linear <= 0.0031308 ? 12.92 * linear : 1.055 * std::pow(linear, 1.0 / 2.4) - 0.055;
}
double srgb_decode(double signal) {
  return signal <= 0.04045 ? signal / 12.92 : std::pow((signal + 0.055) / 1.055, 2.4);
}

// ITU-R BT.2100-2, table 5: hybrid log-gamma, the camera's curve (scene light).
constexpr double hlg_a = 0.17883277;
constexpr double hlg_b = 1.0 - 4.0 * hlg_a;
const double hlg_c = 0.5 - hlg_a * std::log(4.0 * hlg_a);
double hlg_encode(double linear) {
  return linear <= 1.0 / 12.0 ? std::sqrt(3.0 * linear)
                              : hlg_a * std::log(12.0 * linear - hlg_b) + hlg_c;
}
double hlg_decode(double signal) {
  return signal <= 0.5 ? signal * signal / 3.0
                       : (std::exp((signal - hlg_c) / hlg_a) + hlg_b) / 12.0;
}

// ITU-R BT.2100-2, table 4: perceptual quantisation, display light with 1 = 10000 cd/m².
constexpr double pq_m1 = 2610.0 / 16384.0;
constexpr double pq_m2 = 2523.0 / 4096.0 * 128.0;
constexpr double pq_c1 = 3424.0 / 4096.0;
constexpr double pq_c2 = 2413.0 / 4096.0 * 32.0;
constexpr double pq_c3 = 2392.0 / 4096.0 * 32.0;
double pq_encode(double linear) {
  const double y = std::pow(linear, pq_m1);
  return std::pow((pq_c1 + pq_c2 * y) / (1.0 + pq_c3 * y), pq_m2);
}
double pq_decode(double signal) {
  // Above a signal of 1 the curve has a pole; code values there mean "brighter than can be said".
  const double e = std::pow(std::min(signal, 1.0), 1.0 / pq_m2);
  return std::pow(std::max(e - pq_c1, 0.0) / (pq_c2 - pq_c3 * e), 1.0 / pq_m1);
}

}  // namespace

TransferFunction parse_transfer(const std::string& text) {
  const auto named = std::find_if(named_curves.begin(), named_curves.end(),
                                  [&](const NamedCurve& c) { return c.name == text; });
  if (named != named_curves.end()) return {named->kind, {}};
  if (constexpr std::string_view prefix = "gamma="; text.starts_with(prefix)) {
    const auto gamma = words::number_in(std::string_view(text).substr(prefix.size()));
    if (gamma && *gamma >= 0.2 && *gamma <= 5.0) return {Transfer::gamma, *gamma};
    throw UsageError(fmt::format("'{}': a gamma lies between 0.2 and 5, as in gamma=2.4", text));
  }
  throw UsageError(fmt::format(
      "there is no transfer function '{}'; there are bt709, srgb, hlg, pq, linear and gamma=N",
      text));
}

std::string transfer_name(const TransferFunction& transfer) {
  const auto named = std::find_if(named_curves.begin(), named_curves.end(),
                                  [&](const NamedCurve& c) { return c.kind == transfer.kind; });
  return named == named_curves.end() ? fmt::format("gamma={}", transfer.gamma)
                                     : std::string(named->name);
}

double encode(const TransferFunction& transfer, double linear) {
  if (linear < 0.0) return -encode(transfer, -linear);
  switch (transfer.kind) {
    case Transfer::bt709:
      return bt709_encode(linear);
    case Transfer::srgb:
      return srgb_encode(linear);
    case Transfer::hlg:
      return hlg_encode(linear);
    case Transfer::pq:
      return pq_encode(linear);
    case Transfer::gamma:
      return std::pow(linear, 1.0 / transfer.gamma);
    case Transfer::linear:
      break;
  }
  return linear;
}

double decode(const TransferFunction& transfer, double signal) {
  // Below black there is only noise; mirroring it keeps the noise's mean where it belongs.
  if (signal < 0.0) return -decode(transfer, -signal);
  switch (transfer.kind) {
    case Transfer::bt709:
      return bt709_decode(signal);
    case Transfer::srgb:
      return srgb_decode(signal);
    case Transfer::hlg:
      return hlg_decode(signal);
    case Transfer::pq:
      return pq_decode(signal);
    case Transfer::gamma:
      return std::pow(signal, transfer.gamma);
    case Transfer::linear:
      break;
  }
  return signal;
}

}  // namespace lampbeat
