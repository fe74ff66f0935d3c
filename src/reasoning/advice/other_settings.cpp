#include "reasoning/advice/other_settings.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "reasoning/advice/advice_words.hpp"
#include "reasoning/camera/shutter_words.hpp"
#include "reasoning/mixture/mains.hpp"
#include "reasoning/prediction/predicted.hpp"
#include "reasoning/shutters/shutters_offers.hpp"
#include "reasoning/shutters/shutters_outlook.hpp"
#include "words/units.hpp"

namespace lampbeat::reasoning::advice {

namespace {

/// The clean exposure nearest to the one asked about, in stops.
std::optional<shutters::Offer> nearest_clean(const judge::JudgedRoom& judged, const Shot& asked,
                                             std::span<const std::string> available) {
  const judge::Room& room = judged.room;
  const std::vector<LightShare> meant =
      mixture::as_meant(room.lights, room.mains_hz, room.options.mains_hz);
  std::vector<shutters::Offer> offers = available.empty()
                                            ? shutters::customary_offers(meant, asked.fps)
                                            : shutters::listed_offers(available, asked.fps);
  const auto stops_away = [&](const shutters::Offer& offer) {
    return std::abs(std::log2(offer.exposure_s / asked.exposure_s));
  };
  std::stable_sort(offers.begin(), offers.end(),
                   [&](const shutters::Offer& a, const shutters::Offer& b) {
                     return stops_away(a) < stops_away(b);
                   });
  for (const shutters::Offer& offer : offers) {
    if (judged.judge.clean(offer.exposure_s, asked.fps)) return offer;
  }
  return std::nullopt;
}

}  // namespace

std::string remedy(const Prediction& p, std::span<const std::string> available) {
  if (is_clean(p.worst)) return "";
  const std::string rate = frame_rate_label(p.shot.fps);
  const auto here = judge::judged_room(p);
  if (const auto offer = nearest_clean(*here, p.shot, available)) {
    const std::string cost = cost_words(offer->exposure_s, p.shot.fps);
    return fmt::format("Set {}: the nearest clean shutter at {} fps{}.",
                       camera::shutter_words(offer->label, offer->exposure_s), rate,
                       cost.empty() ? ", exposed as 180\u00b0 is" : " (" + cost + ")");
  }
  const FrameRateOutlook outlook = shutters::outlook_for(p.lights, here->judge, p.shot.fps);
  const std::vector<Rhythmic> rhythms = rhythms_worth_a_word(p.lights);
  const bool too_short = !rhythms.empty() && p.shot.fps.frame_s() * rhythms.front().hz < 1.0 - 1e-9;
  std::string reason;
  if (too_short) {
    reason =
        fmt::format(" (a frame is shorter than one {} cycle)", hertz_words(rhythms.front().hz));
  }
  std::string need;
  if (outlook.needed_percent_flicker && *outlook.needed_percent_flicker < 100.0) {
    need = fmt::format("; 180\u00b0 needs lights of at most {} flicker, these have {}",
                       words::percent_at_most(*outlook.needed_percent_flicker),
                       percent_words(told_percent_flicker(p.lights)));
  }
  return fmt::format("No shutter at {} fps is clean under these lights{}{}.", rate, reason, need);
}

std::string travel(const Prediction& p, std::span<const std::string> available) {
  const std::optional<double> other_hz = other_mains_hz(p.mains_hz);
  if (!other_hz) return "";
  const auto there = judge::judged_room(p.lights, on_other_mains(p.options, *other_hz),
                                        p.shot.readout_s, p.shot.rows);
  const Prediction abroad = prediction::predicted(there, p.shot.exposure_s, p.shot.fps);
  if (is_clean(abroad.worst) == is_clean(p.worst)) return "";
  if (is_clean(abroad.worst)) {
    return fmt::format(
        "In a {} country the same setting is clean: it fits that mains, not this "
        "one.",
        hertz_words(*other_hz));
  }
  std::string instead;
  if (const auto offer = nearest_clean(*there, p.shot, available)) {
    instead = fmt::format("; set {} there", camera::shutter_words(offer->label, offer->exposure_s));
  }
  return fmt::format("In a {} country the same setting is {} ({} {}){}.", hertz_words(*other_hz),
                     verdict_word(abroad.worst.verdict), percent_words(shown_percent(abroad.worst)),
                     shown_word(abroad.worst), instead);
}

}  // namespace lampbeat::reasoning::advice
