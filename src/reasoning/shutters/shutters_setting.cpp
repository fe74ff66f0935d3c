#include "reasoning/shutters/shutters_setting.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "reasoning/prediction/predicted.hpp"
#include "reasoning/shutters/shutters_margins.hpp"

namespace lampbeat::reasoning::shutters {

JudgedOffer judged_offer(const std::shared_ptr<const judge::JudgedRoom>& judged,
                         std::span<const LightShare> meant, const Offer& offer, FrameRate fps) {
  Prediction p = prediction::predicted(judged, offer.exposure_s, fps);
  Setting s;
  s.fps = p.shot.fps;
  s.exposure_s = offer.exposure_s;
  s.label = offer.label;
  s.shutter_deg = shutter_angle_deg(offer.exposure_s, s.fps);
  s.readout_s = p.shot.readout_s;
  s.nominal = p.nominal;
  s.worst = p.worst;
  s.blur_from_180deg = s.shutter_deg / 180.0;
  s.stops_from_180deg = std::log2(s.blur_from_180deg);
  s.whole_cycles = holds_whole_cycles(meant, offer.exposure_s);
  const Margins margins = margins_of(p, judged->judge);
  s.mains_margin_hz = margins.mains_hz;
  s.clock_margin_percent = margins.clock_percent;
  return {offer, std::move(s), std::move(p.findings)};
}

void gather_findings(Findings& findings, const JudgedOffer& judged) {
  constexpr std::array<const char*, 2> of_one_setting = {"below_recording_step", "coarse_pattern"};
  constexpr std::array<const char*, 3> named = {"photosensitive_caution", "own_clock",
                                                "state_decides"};
  for (const Finding& f : judged.findings) {
    if (std::find(of_one_setting.begin(), of_one_setting.end(), f.code) != of_one_setting.end()) {
      continue;
    }
    const bool caution = std::find(named.begin(), named.end(), f.code) != named.end();
    const bool known = std::any_of(findings.begin(), findings.end(), [&](const Finding& seen) {
      return seen.code == f.code && (caution || seen.message == f.message);
    });
    if (known) continue;
    findings.push_back(
        {f.code, caution ? fmt::format("{} fps, {}: {}", frame_rate_label(judged.setting.fps),
                                       judged.offer.label, f.message)
                         : f.message});
  }
}

}  // namespace lampbeat::reasoning::shutters
