#include <algorithm>

#include "lampbeat/advice.hpp"
#include "lampbeat/camera.hpp"
#include "lampbeat/visibility.hpp"
#include "reasoning/judge/judged_room.hpp"
#include "reasoning/mixture/mains.hpp"
#include "reasoning/shutters/shutters_slower.hpp"
#include "reasoning/shutters/shutters_spoken.hpp"
#include "reasoning/shutters/shutters_steadied.hpp"

namespace lampbeat {

namespace {

using namespace reasoning;

/// Whether anything on offer is clean at the shot's own frame rate.
bool some_clean(const judge::Judge& judge, FrameRate fps,
                const std::vector<shutters::Offer>& offers) {
  return std::any_of(offers.begin(), offers.end(), [&](const shutters::Offer& offer) {
    return judge.clean(offer.exposure_s, fps);
  });
}

}  // namespace

WaysOut ways_out(const Prediction& p, std::span<const std::string> available,
                 std::optional<ShutterNotation> asked) {
  WaysOut ways;
  ways.steady_share = 0.0;
  if (is_clean(p.worst)) return ways;
  const auto here = judge::judged_room(p);
  ways.steady_share =
      shutters::steady_share(here->judge, p.shot.exposure_s, p.shot.fps, p.worst.visibility);
  const judge::Room& room = here->room;
  const std::vector<LightShare> meant =
      mixture::as_meant(room.lights, room.mains_hz, room.options.mains_hz);
  const auto offers_at = [&](FrameRate fps) {
    return shutters::spoken_offers(meant, available, asked, fps);
  };
  if (some_clean(here->judge, p.shot.fps, offers_at(p.shot.fps))) return ways;
  // A readout nobody knows is assumed at each frame rate by itself, as predict will there.
  const std::optional<double> readout_s =
      p.shot.readout_assumed ? std::nullopt : std::optional(p.shot.readout_s);
  const auto slower = judge::judged_room(p.lights, p.options, readout_s, p.shot.rows);
  const std::vector<FrameRate> rates = those_readable(customary_frame_rates(), readout_s);
  ways.slower = shutters::fastest_clean_below(p.shot.fps, rates, slower->judge, offers_at);
  return ways;
}

}  // namespace lampbeat
