#include "reasoning/advice/other_settings.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "lampbeat/visibility.hpp"
#include "reasoning/advice/advice_words.hpp"
#include "reasoning/camera/shutter_words.hpp"
#include "reasoning/mixture/mains.hpp"
#include "reasoning/prediction/predicted.hpp"
#include "reasoning/shutters/shutters_offers.hpp"
#include "reasoning/shutters/shutters_outlook.hpp"
#include "reasoning/shutters/shutters_spoken.hpp"
#include "words/units.hpp"

namespace lampbeat::reasoning::advice {

namespace {

/// The clean offer to name, and whether none is nearer.
struct Named {
  shutters::Offer offer;
  bool nearest = true;
  double stops = 0.0;  ///< away from what was asked
};

/// The clean offer nearest to the one asked about, in stops; but for a stop of the dial rather than
/// a fine value, and for one of whole cycles rather than one that is only just clean, up to a stop
/// more is no detour.
std::optional<Named> nearest_clean(const judge::JudgedRoom& judged, const Shot& asked,
                                   const Spoken& spoken) {
  constexpr double fine_costs = 1.0;
  constexpr double hardly_clean_costs = 1.0;
  const judge::Room& room = judged.room;
  const std::vector<LightShare> meant =
      mixture::as_meant(room.lights, room.mains_hz, room.options.mains_hz);
  std::vector<shutters::Offer> offers =
      shutters::spoken_offers(meant, spoken.available, spoken.asked, asked.fps);
  const auto stops_away = [&](const shutters::Offer& offer) {
    return std::abs(std::log2(offer.exposure_s / asked.exposure_s));
  };
  std::stable_sort(offers.begin(), offers.end(),
                   [&](const shutters::Offer& a, const shutters::Offer& b) {
                     return stops_away(a) < stops_away(b);
                   });
  std::optional<Named> named;
  double least = 0.0;
  bool any_nearer = false;
  for (const shutters::Offer& offer : offers) {
    const double stops = stops_away(offer);
    if (named && stops >= least) break;
    const double visibility = judged.judge.worst_visibility(offer.exposure_s, asked.fps);
    if (visibility >= clean_below) continue;
    double cost = stops + (offer.fine ? fine_costs : 0.0);
    if (!shutters::holds_whole_cycles(meant, offer.exposure_s)) {
      cost += hardly_clean_costs * visibility / clean_below;
    }
    if (!named || cost < least) {
      named = {offer, !any_nearer, stops};
      least = cost;
    }
    any_nearer = true;
  }
  return named;
}

std::string no_clean_shutter(const Prediction& p, const judge::JudgedRoom& here) {
  const std::string rate = frame_rate_label(p.shot.fps);
  const FrameRateOutlook outlook = shutters::outlook_for(p.lights, here.judge, p.shot.fps);
  const std::vector<Rhythmic> rhythms = rhythms_worth_a_word(p.lights);
  const bool too_short = !rhythms.empty() && p.shot.fps.frame_s() * rhythms.front().hz < 1.0 - 1e-9;
  std::string reason;
  if (too_short) {
    reason =
        fmt::format(" (a frame is shorter than one {} cycle)", hertz_words(rhythms.front().hz));
  }
  std::string need;
  if (outlook.needed_percent_flicker && *outlook.needed_percent_flicker < 100.0) {
    need =
        fmt::format("; for 180\u00b0 the lights may flicker by {} at most, and these flicker by {}",
                    words::percent_at_most(*outlook.needed_percent_flicker),
                    percent_words(told_percent_flicker(p.lights)));
  }
  return fmt::format("No shutter at {} fps is clean under these lights{}{}.", rate, reason, need);
}

}  // namespace

std::string shutter_of(const Prediction& p, std::optional<ShutterNotation> asked) {
  const double exposure_s = p.shot.exposure_s;
  return camera::shutter_words(
      asked ? shutter_label(exposure_s, p.shot.fps, *asked) : exposure_label(exposure_s),
      exposure_s);
}

Remedy remedy(const Prediction& p, const Spoken& spoken) {
  constexpr double far_off_stops = 1.0;
  if (is_clean(p.worst)) return {};
  const auto here = judge::judged_room(p);
  const auto named = nearest_clean(*here, p.shot, spoken);
  if (!named) return {no_clean_shutter(p, *here), true};
  const shutters::Offer& offer = named->offer;
  const std::string cost = cost_words(offer.exposure_s, p.shot.fps);
  return {
      fmt::format("Set {}: {} at {} fps{}.", camera::shutter_words(offer.label, offer.exposure_s),
                  named->nearest ? "the nearest clean shutter" : "safely clean",
                  frame_rate_label(p.shot.fps),
                  cost.empty() ? ", exposed as 180\u00b0 is" : " (" + cost + ")"),
      named->stops > far_off_stops};
}

std::string slower_words(const Prediction& p, const WaysOut& ways) {
  if (!ways.slower) return "";
  const SlowerRate& slower = *ways.slower;
  const std::string cost = cost_words(slower.exposure_s, slower.fps);
  return fmt::format(
      "{} fps at {} would be clean: the fastest customary rate below {} fps with a clean "
      "shutter{}.",
      frame_rate_label(slower.fps), camera::shutter_words(slower.label, slower.exposure_s),
      frame_rate_label(p.shot.fps), cost.empty() ? "" : " (" + cost + ")");
}

std::string steady_words(const Prediction& p, const WaysOut& ways, const Spoken& spoken) {
  if (is_clean(p.worst)) return "";
  const std::string shutter = shutter_of(p, spoken.asked);
  const std::string rate = frame_rate_label(p.shot.fps);
  if (!ways.steady_share) {
    return fmt::format(
        "Adding daylight does not help: {} at {} fps shows these lights even if they give only a "
        "thousandth of the light on the subject.",
        shutter, rate);
  }
  return fmt::format(
      "{} at {} fps would be clean if at least {} % of the light on the subject were "
      "steady: daylight, or lamps that do not flicker.",
      shutter, rate, percent_rounded_up(*ways.steady_share));
}

std::string travel(const Prediction& p, const Spoken& spoken) {
  const std::optional<double> other_hz = other_mains_hz(p.mains_hz);
  if (!other_hz) return "";
  const auto there = judge::judged_room(p.lights, on_other_mains(p.options, *other_hz),
                                        p.shot.readout_s, p.shot.rows);
  const Prediction abroad = prediction::predicted(there, p.shot.exposure_s, p.shot.fps);
  if (is_clean(abroad.worst) == is_clean(p.worst)) return "";
  if (is_clean(abroad.worst)) {
    return fmt::format("In a {} country the same setting would be clean, but not here.",
                       hertz_words(*other_hz));
  }
  std::string instead;
  if (const auto named = nearest_clean(*there, p.shot, spoken)) {
    instead = fmt::format("; set {} there",
                          camera::shutter_words(named->offer.label, named->offer.exposure_s));
  }
  return fmt::format("In a {} country the same setting is {} ({} {}){}.", hertz_words(*other_hz),
                     verdict_word(abroad.worst.verdict), percent_words(shown_percent(abroad.worst)),
                     shown_word(abroad.worst), instead);
}

}  // namespace lampbeat::reasoning::advice
