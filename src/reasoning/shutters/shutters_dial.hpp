#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "reasoning/shutters/shutters_offers.hpp"
#include "reasoning/shutters/shutters_ranges.hpp"

namespace lampbeat::reasoning::shutters {

/// The points of a range that fit one frame rate, both included; none when `to` is below `from`.
struct Stretch {
  Range range;
  std::int64_t from = 0;
  std::int64_t to = -1;
};

/// All that a shutter can be set to at one frame rate.
struct Dial {
  FrameRate fps;
  std::vector<Offer> stops;   ///< longest first
  std::vector<Stretch> fine;  ///< none of them empty
  bool open = false;          ///< nobody listed anything: other exposures may be had, too
  bool empty() const { return stops.empty() && fine.empty(); }
};

/// `available`: as in PlanRequest. Throws UsageError for an entry that cannot be read.
Dial dial_of(std::span<const LightShare> lights, std::span<const std::string> available,
             FrameRate fps);

/// What of it has to be judged by itself: every stop, and of the ranges their ends and the points
/// beside every customary exposure and every one of whole cycles. Longest first, equal ones once.
std::vector<Offer> telling_offers(const Dial& dial, std::span<const LightShare> lights);

/// The offer of this exposure; nothing where the shutter cannot be set to it.
std::optional<Offer> offer_of(const Dial& dial, double exposure_s);

Offer offer_at(const Stretch& stretch, std::int64_t point, FrameRate fps);

}  // namespace lampbeat::reasoning::shutters
