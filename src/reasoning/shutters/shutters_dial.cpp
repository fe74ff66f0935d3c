#include "reasoning/shutters/shutters_dial.hpp"

#include <algorithm>
#include <cmath>

namespace lampbeat::reasoning::shutters {

namespace {

Stretch that_fits(Range range, FrameRate fps) {
  const std::int64_t to = last_within(range, fps.frame_s(), fps);
  std::int64_t from = 0;
  if (range.least_deg > 0.0) {
    from = last_within(range, range.least_deg / 360.0 * fps.frame_s(), fps) + 1;
  }
  return {std::move(range), from, to};
}

/// The point at an exposure, or those on either side of it.
void add_beside(std::vector<Offer>& offers, const Stretch& stretch, double exposure_s,
                FrameRate fps) {
  const std::int64_t below = last_within(stretch.range, exposure_s, fps);
  for (const std::int64_t point : {below, below + 1}) {
    if (point < stretch.from || point > stretch.to) continue;
    offers.push_back(offer_at(stretch, point, fps));
    if (std::abs(offers.back().exposure_s - exposure_s) <= same_exposure * exposure_s) return;
  }
}

}  // namespace

Dial dial_of(std::span<const LightShare> lights, std::span<const std::string> available,
             FrameRate fps) {
  Dial dial;
  dial.fps = fps;
  dial.open = available.empty();
  dial.stops = dial.open ? customary_offers(lights, fps) : listed_offers(available, fps);
  for (const std::string& text : available) {
    std::optional<Range> range = range_from(text);
    if (!range) continue;
    Stretch stretch = that_fits(std::move(*range), fps);
    if (stretch.from <= stretch.to) dial.fine.push_back(std::move(stretch));
  }
  return dial;
}

std::vector<Offer> telling_offers(const Dial& dial, std::span<const LightShare> lights) {
  std::vector<Offer> offers = dial.stops;
  if (dial.fine.empty()) return offers;
  const std::vector<Offer> customary = customary_offers(lights, dial.fps);
  for (const Stretch& stretch : dial.fine) {
    for (const Offer& offer : customary) add_beside(offers, stretch, offer.exposure_s, dial.fps);
    offers.push_back(offer_at(stretch, stretch.from, dial.fps));
    offers.push_back(offer_at(stretch, stretch.to, dial.fps));
  }
  return each_offer_once(std::move(offers));
}

std::optional<Offer> offer_of(const Dial& dial, double exposure_s) {
  const auto same = [&](double other_s) {
    return std::abs(other_s - exposure_s) <= same_exposure * exposure_s;
  };
  for (const Offer& stop : dial.stops) {
    if (same(stop.exposure_s)) return stop;
  }
  for (const Stretch& stretch : dial.fine) {
    const std::int64_t below = last_within(stretch.range, exposure_s, dial.fps);
    for (const std::int64_t point : {below, below + 1}) {
      if (point < stretch.from || point > stretch.to) continue;
      Offer offer = offer_at(stretch, point, dial.fps);
      if (same(offer.exposure_s)) return offer;
    }
  }
  return std::nullopt;
}

Offer offer_at(const Stretch& stretch, std::int64_t point, FrameRate fps) {
  return {exposure_at(stretch.range, point, fps), label_at(stretch.range, point), true};
}

}  // namespace lampbeat::reasoning::shutters
