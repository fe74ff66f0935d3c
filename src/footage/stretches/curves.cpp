#include "footage/stretches/curves.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

namespace lampbeat::footage::stretches {

namespace {

/// Empty for a camera's own.
std::optional<Transfer> published(Curve curve) {
  switch (curve) {
    case Curve::bt709:
      return Transfer::bt709;
    case Curve::srgb:
      return Transfer::srgb;
    case Curve::hlg:
      return Transfer::hlg;
    case Curve::pq:
      return Transfer::pq;
    case Curve::linear:
      return Transfer::linear;
    case Curve::logarithmic:
      break;
  }
  return std::nullopt;
}

double decode_logarithmic(double signal) {
  constexpr double black = 0.09;
  constexpr double stops = 14.0 / (1.0 - black);
  return std::exp2(stops * (signal - 1.0)) - std::exp2(stops * (black - 1.0));
}

double decode_by(Curve curve, double signal) {
  const auto transfer = published(curve);
  return transfer ? decode({*transfer, {}}, signal) : decode_logarithmic(signal);
}

}  // namespace

std::string curve_word(Curve curve) {
  const auto transfer = published(curve);
  return transfer ? transfer_name({*transfer, {}}) : "log";
}

Redecoder::Redecoder(const TransferFunction& assumed) : assumed_(assumed) {
  for (std::size_t c = 0; c < known_curves.size(); ++c) {
    for (std::size_t i = 0; i < steps; ++i) {
      table_[c][i] = decode_by(known_curves[c], static_cast<double>(i) / (steps - 2));
    }
  }
}

double Redecoder::light(std::size_t curve, double signal) const {
  const double at = std::clamp(signal, 0.0, 1.0) * (steps - 2);
  const auto i = static_cast<std::size_t>(at);
  const double part = at - static_cast<double>(i);
  return table_[curve][i] + part * (table_[curve][i + 1] - table_[curve][i]);
}

}  // namespace lampbeat::footage::stretches
