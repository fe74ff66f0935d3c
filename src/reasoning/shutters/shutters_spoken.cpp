#include "reasoning/shutters/shutters_spoken.hpp"

#include <algorithm>
#include <utility>

#include "lampbeat/error.hpp"
#include "reasoning/shutters/shutters_dial.hpp"

namespace lampbeat::reasoning::shutters {

namespace {

/// An exposure to the digits of its label; nothing where these make it longer than the frame.
std::optional<Offer> as_labelled(double exposure_s, FrameRate fps, ShutterNotation notation) {
  Offer offer{exposure_s, shutter_label(exposure_s, fps, notation)};
  try {
    offer.exposure_s = parse_exposure_s(offer.label, fps);
  } catch (const UsageError&) {
    return std::nullopt;
  }
  return offer;
}

}  // namespace

std::vector<Offer> spoken_offers(std::span<const LightShare> lights,
                                 std::span<const std::string> available,
                                 std::optional<ShutterNotation> asked, FrameRate fps) {
  if (!available.empty() || !asked) return telling_offers(dial_of(lights, available, fps), lights);
  std::vector<Offer> offers;
  for (const Offer& stop : customary_stops(fps, *asked)) {
    if (*asked != ShutterNotation::time) {
      offers.push_back(stop);
    } else if (const auto labelled = as_labelled(stop.exposure_s, fps, *asked)) {
      offers.push_back(*labelled);
    }
  }
  for (const double exposure_s : whole_cycle_exposures(lights, fps)) {
    auto labelled = as_labelled(exposure_s, fps, *asked);
    if (!labelled) continue;
    labelled->fine = *asked != ShutterNotation::time;  // a camera set in times has no stops
    offers.push_back(std::move(*labelled));
  }
  std::erase_if(offers, [&](const Offer& offer) {
    return shutter_angle_deg(offer.exposure_s, fps) < darkest_deg * (1.0 - 1e-9);
  });
  return each_offer_once(std::move(offers));
}

}  // namespace lampbeat::reasoning::shutters
