#pragma once

#include <memory>
#include <span>

#include "reasoning/judge/judged_room.hpp"
#include "reasoning/shutters/shutters_offers.hpp"

namespace lampbeat::reasoning::shutters {

/// An offer and what it would record.
struct JudgedOffer {
  Offer offer;
  Setting setting;
  Findings findings;  ///< of its prediction
};

/// As `predict` judges it alone. `meant`: the lights at the mains that is meant.
JudgedOffer judged_offer(const std::shared_ptr<const judge::JudgedRoom>& judged,
                         std::span<const LightShare> meant, const Offer& offer, FrameRate fps);

/// Adds doubts that hold for the whole plan, once each. Remarks about one setting's figures stay
/// out, except the caution for photosensitive viewers and what decided the worst, which name it.
void gather_findings(Findings& findings, const JudgedOffer& judged);

}  // namespace lampbeat::reasoning::shutters
