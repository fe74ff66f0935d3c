#include "reasoning/shutters/shutters_slower.hpp"

#include <algorithm>
#include <cmath>
#include <tuple>

#include "lampbeat/visibility.hpp"
#include "reasoning/shutters/shutters_order.hpp"

namespace lampbeat::reasoning::shutters {

namespace {

std::optional<SlowerRate> first_clean_at(FrameRate fps, const judge::Judge& judge,
                                         const std::vector<Offer>& offers) {
  const auto quarter = [&](const Offer& offer) {
    return quarter_stops(std::log2(shutter_angle_deg(offer.exposure_s, fps) / 180.0));
  };
  const Offer* first = nullptr;
  std::tuple<bool, int, double> best;
  for (const Offer& offer : offers) {
    const double visibility = judge.worst_visibility(offer.exposure_s, fps);
    if (visibility >= clean_below) continue;
    const std::tuple here{offer.fine, quarter(offer), visibility};
    if (first && best <= here) continue;
    first = &offer;
    best = here;
  }
  if (!first) return std::nullopt;
  return SlowerRate{fps, first->exposure_s, first->label};
}

}  // namespace

std::optional<SlowerRate> fastest_clean_below(FrameRate fps, const std::vector<FrameRate>& rates,
                                              const judge::Judge& judge,
                                              const OffersAt& offers_at) {
  for (auto rate = rates.rbegin(); rate != rates.rend(); ++rate) {
    if (rate->per_s() >= fps.per_s()) continue;
    if (const auto clean = first_clean_at(*rate, judge, offers_at(*rate))) return clean;
  }
  return std::nullopt;
}

}  // namespace lampbeat::reasoning::shutters
