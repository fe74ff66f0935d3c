#include "signal/measurement/honesty.hpp"

#include "words/numbers.hpp"
#include "words/units.hpp"

#include <fmt/format.h>

namespace lampbeat::signal::measurement::honesty {

Finding not_analysed(std::uint64_t samples) {
  return {
      "not_analysed",
      fmt::format("Nothing was looked for in these {} samples: they are too few, or bear too few "
                  "different times, for any rhythm to show. Whether the light flickers is not "
                  "known. Record at least a second, with times finer than the samples.",
                  samples)};
}

Finding no_dc_level(bool sound_file, bool judged_deepest) {
  return {"no_dc_level",
          fmt::format(
              "The recording swings around zero, so the light's average level is lost{}. Percent "
              "flicker, flicker index and SVM need it and are left out; frequencies are right.{} "
              "For the percentage, cover and uncover the sensor quickly, twice or more, while "
              "recording, or give --mean or --reference-lamp.",
              sound_file ? " (sound cards block it)" : "",
              judged_deepest ? " Shutters can still be judged, as if the light went fully dark at "
                               "its darkest moments."
                             : "")};
}

Finding nothing_recorded() {
  return {"no_dc_level",
          "Nothing but noise or zeros was recorded. Check that the sensor is connected, lit and on "
          "this channel, then record again."};
}

Finding coupling_unknown(double points) {
  return {"coupling_unknown",
          fmt::format("The recording is AC-coupled: between edges it sags towards zero, and from "
                      "what frequency on is not known. With a corner of up to 20 Hz, as sound "
                      "cards have, percent flicker moves by {} points, which its ± allows for. "
                      "Give the recorder's corner with --coupling-corner.",
                      words::in_digits_at_most(points, 2))};
}

Finding upside_down() {
  return {
      "polarity_unknown",
      "As it stands, and with the mean that was given, the light would go below nothing, as none "
      "does; its figures are left out. If more light reads lower, give --invert; else see "
      "whether the mean is right."};
}

Finding polarity_unknown(double percent, double percent_upside_down) {
  return {"polarity_unknown",
          fmt::format("Which way up the recording is does not show in it: as it stands, percent "
                      "flicker is {}; if more light reads lower, {}. The ± allows for both. "
                      "Cover the sensor while you watch the reading: where it jumps up, give "
                      "--invert, else --upright.",
                      words::percent(percent), words::percent(percent_upside_down))};
}

Finding reads_below_zero(double lowest_percent) {
  return {
      "dark_level_unknown",
      fmt::format("The sensor reads below zero ({:.1f} % of the mean at its lowest), as light "
                  "never does, so its zero is wrong and every percentage with it; they are left "
                  "out. Record a few seconds with the sensor covered and give them with --dark.",
                  lowest_percent)};
}

Finding reads_only_below_zero(bool dark_given) {
  return {
      "dark_level_unknown",
      dark_given
          ? "Every sample lies below the dark reading, as if the light darkened the sensor: the "
            "signal is upside down or the dark reading belongs to another gain. Percentages are "
            "left out; swap the sensor's leads or record the dark level again."
          : "The sensor reads below zero all along, as light never does: its signal is upside "
            "down (an inverting amplifier, swapped leads) or its zero is wrong. Percentages are "
            "left out; swap the leads, or record the covered sensor and give it with --dark."};
}

Finding dark_level_unknown() {
  return {"dark_level_unknown",
          "No dark reading was given. If the covered sensor does not read zero, percent flicker is "
          "wrong: a covered reading of 5 % of the mean turns 40 % into 38 %. Record the covered "
          "sensor once and give it with --dark."};
}

Finding clipped(double high_percent, double low_percent) {
  std::string where;
  if (high_percent > 0.0)
    where +=
        fmt::format("{} % of the samples at the top", words::in_digits_at_most(high_percent, 2));
  if (low_percent > 0.0) {
    where += fmt::format("{}{} % at the bottom", where.empty() ? "" : " and ",
                         words::in_digits_at_most(low_percent, 2));
  }
  return {"clipped",
          fmt::format("The recorder ran out of range: {} of its scale stay flat. The true extremes "
                      "are not in the data, so percent flicker, flicker index and SVM are left "
                      "out. Lower the gain or "
                      "move the sensor away, and record again.",
                      where)};
}

Finding rate_hides_mains(double rate_hz) {
  return {
      "rate_too_low",
      fmt::format("{} readings a second cannot see mains flicker, which comes 100 or 120 times "
                  "a second; nothing is said about it. Use a recorder with at least 2000, better "
                  "20000 samples a second.",
                  words::in_digits_at_most(rate_hz, 4))};
}

Finding rate_too_low(double rate_hz, double light_hz, bool figures_kept) {
  return {"rate_too_low",
          fmt::format(
              "{} samples a second give only {:.1f} samples to each cycle of the {} "
              "light, so its extremes and edges may fall between them; {}. Record at {:.0f} "
              "samples a second or more.",
              words::in_digits_at_most(rate_hz, 4), rate_hz / light_hz, words::hertz(light_hz),
              figures_kept ? fmt::format("percent flicker may read somewhat low, and flicker "
                                         "index be off by up to {:.2f} if the light is switched",
                                         0.5 * light_hz / rate_hz)
                           : "percent flicker and flicker index are left out",
              20.0 * light_hz)};
}

Finding too_short(const SeenFor& seen, bool figures_kept) {
  return {
      "too_short",
      fmt::format("{} lasts {} s, {}; {}. Record at least one second, better three.",
                  seen.whole_capture ? "The capture" : "The state of the light described here",
                  words::in_digits_at_most(seen.seconds, 3),
                  seen.cycles ? fmt::format("{:.1f} cycles of the light", *seen.cycles)
                              : fmt::format("{} readings in which no rhythm shows", seen.readings),
                  figures_kept  ? "slow rhythms and small components cannot be told apart in it"
                  : seen.cycles ? "its figures cannot be had from so few"
                                : "its figures cannot be had from so little")};
}

Finding uneven_sampling(double jitter_percent) {
  return {"uneven_sampling",
          fmt::format(
              "The samples are not evenly spaced (they stray by up to {:.0f} % of the interval). "
              "Each was used at its own time, so the figures hold; the low-pass figures need "
              "an even recording and are left out.",
              jitter_percent)};
}

Finding alias_suspected(double rate_hz, double seen_hz, const std::array<double, 3>& could_be_hz) {
  return {
      "alias_suspected",
      fmt::format(
          "What reads as {} Hz could as well be {}, {} or {} Hz: samples taken "
          "{} times a second cannot tell these apart, and nothing shows that the recorder "
          "filters what is faster than half its rate. Record again at another rate, better a "
          "higher one ({:.0f} a second): "
          "a rhythm that moves with the rate was false. Until then the standards are judged at "
          "the frequency that is worst for them.",
          words::in_digits_at_most(seen_hz, 6), words::in_digits_at_most(could_be_hz[0], 6),
          words::in_digits_at_most(could_be_hz[1], 6), words::in_digits_at_most(could_be_hz[2], 6),
          words::in_digits_at_most(rate_hz, 6), 2.7 * rate_hz)};
}

Finding one_reading() {
  return {"one_reading",
          "Every reading is the same, as when a sensor is unplugged or too brightly lit, or the "
          "recorder's steps are coarser than all the light does. That is no proof of a steady "
          "light: check that covering the sensor changes the reading, and that some noise shows in "
          "it, then record again."};
}

Finding steady(double below_percent, double from_hz, double up_to_hz) {
  constexpr double may_show_on_film_percent = 0.3;
  return {"no_periodic_flicker",
          fmt::format(
              "No periodic flicker found above {} of the mean from {} Hz to {:.0f} Hz, and "
              "no other unsteadiness there. A weaker one would drown in this recording's noise{}; "
              "more light on the sensor lowers the noise.",
              words::percent(below_percent), words::in_digits_at_most(from_hz, 2), up_to_hz,
              below_percent < may_show_on_film_percent
                  ? ""
                  : ", and the filming advice reckons with one that strong")};
}

Finding unexplained_light(double rms_percent, const std::string& bands, bool no_rhythm) {
  return {
      "unexplained_light",
      fmt::format("Part of the light is irregular: {} of the mean (rms) {}, more than the "
                  "sensor's noise explains and in no rhythm. {} Look for a failing tube, a loose "
                  "contact, a second lamp or moving daylight. If it may be the sensor's, record it "
                  "covered and give that file with --dark.",
                  words::percent(rms_percent), bands,
                  no_rhythm ? "The light is not steady, and no shutter is matched to it."
                            : "No shutter is matched to it, and it makes the extremes uncertain.")};
}

Finding stray_light(double off_percent, double share_percent, double at_s) {
  return {
      "unexplained_light",
      fmt::format("{} % of the readings stray, by as much as {} % of the mean at about {} s, and "
                  "nothing found here explains them: short flashes or gaps of the light, "
                  "or a bad contact of the sensor. Each one shows in the frame it falls in. Record "
                  "again and see whether they come back.",
                  words::in_digits_at_most(share_percent, 2),
                  words::in_digits_at_most(off_percent, 2), words::in_digits_at_most(at_s, 3))};
}

Finding swing_unexplained(double off_percent, bool few, double at_s) {
  return {"unexplained_light",
          fmt::format(
              "The readings swing {} % of the mean further than the noise and all that was "
              "found here explain, farthest at about {} s: {}. The light is not called steady. "
              "Record again and see whether it comes back.",
              words::in_digits_at_most(off_percent, 2), words::in_digits_at_most(at_s, 3),
              few ? "one to three readings, a very short flash or gap or a fault of the recorder"
                  : "a short flash or gap, a step or a slope of the light")};
}

Finding edges_too_few(int rises, int falls) {
  return {"too_short",
          fmt::format(
              "The light switches between two levels, but comes on only {} time{} and goes off {} "
              "time{} in this capture; how often it does cannot be told from so few. Record until "
              "it has switched ten times or more.",
              rises, rises == 1 ? "" : "s", falls, falls == 1 ? "" : "s")};
}

Finding figures_from_edges(int cycles) {
  return {"too_short",
          fmt::format(
              "Only {} cycle{} of a switched light: the figures come from the times of its edges "
              "and from its two levels. Record ten cycles or more to be sure that it goes on so.",
              cycles, cycles == 1 ? "" : "s")};
}

Finding several_rhythms(int rhythms, const std::optional<double>& left_out_points) {
  if (rhythms <= 2) {
    return {"several_rhythms",
            "Two unrelated rhythms share this light, so it has no single cycle: extremes and areas "
            "were "
            "taken over every combination of their phases. Two fixtures on at once read like this "
            "too."};
  }
  return {
      "several_rhythms",
      fmt::format(
          "{} unrelated rhythms share this light; extremes and areas cover the two strongest{}. "
          "Switch off all but one fixture to tell them apart.",
          rhythms,
          left_out_points
              ? fmt::format(", the others could add up to {:.1f} points", *left_out_points)
              : "")};
}

Finding level_drift(double lowest, double highest, double drift_percent) {
  return {"level_drift",
          fmt::format(
              "The level moved from {} to {} during the capture ({:.1f} %): a lamp warming "
              "up, a dimmer or daylight. Each second was judged by its own mean, so the figures "
              "hold for the light as it was; let it settle and record again to be sure.",
              words::in_digits_at_most(lowest, 4), words::in_digits_at_most(highest, 4),
              drift_percent)};
}

Finding states_differ(const std::string& states, const std::string& switching, int forgotten) {
  std::string more;
  if (forgotten > 0) more = fmt::format(" ({} milder ones are not listed)", forgotten);
  if (!switching.empty()) {
    return {"states_differ",
            fmt::format("The lamp {}: {}. Every figure is of the light while it was lit. Record it "
                        "while it stays lit: going on and off may be how it flickers.",
                        switching, states)};
  }
  return {"states_differ",
          fmt::format("The light was not one and the same: {}{}. Every figure is that of the state "
                      "worst for it, a dark stretch counting for none; record a state by itself "
                      "for its own figures.",
                      states, more)};
}

Finding disturbed(int times, double at_s, double seconds,
                  const std::optional<PercentRange>& readings) {
  const std::string again =
      times > 1 ? fmt::format(", the longest of {} such disturbances", times) : "";
  const std::string range = readings
                                ? fmt::format(" (readings from {:.0f} to {:.0f} % of the mean)",
                                              readings->lowest, readings->highest)
                                : "";
  return {"disturbed",
          fmt::format("For {} s at {:.1f} s the sensor saw something else{}{}: a hand, a spark, a "
                      "lamp that blinked. Too short to be judged, it is in no figure; watch the "
                      "lamp, and record again.",
                      words::in_digits_at_most(seconds, 2), at_s, again, range)};
}

Finding hum_suspected(double hz, std::optional<double> percent, double relative) {
  constexpr double of_strongest = 100.0;
  return {"hum_suspected",
          fmt::format("The line at {} Hz, the mains itself ({} % of the {}), may be hum: light "
                      "comes twice a cycle, wiring hums once. Nothing was taken out. Record the "
                      "covered sensor and give it with --dark FILE: what is in both is hum, not "
                      "light.",
                      words::in_digits_at_most(hz, 4),
                      words::in_digits_at_most(percent.value_or(of_strongest * relative), 2),
                      percent ? "mean" : "strongest rhythm")};
}

Finding corners_on_top() {
  return {"polarity_unknown",
          "Every cycle has its sharp corner on top and its round side below, as rectified mains "
          "has upside down: this sensor may read lower in more light (a phototransistor below a "
          "resistor does). Then these figures are wrong. Cover it while you watch: where the "
          "reading rises, give --invert and the covered reading with --dark, else --upright."};
}

Finding hum_taken_out(double hz, double percent, double hidden_percent) {
  return {"hum_taken_out",
          fmt::format("A line at {} ({} of the mean) is in the dark recording too, about "
                      "as strong: hum of the cable or the sensor. It counts for no light. What the "
                      "lamp itself does at that frequency is not known below {}.",
                      words::hertz(hz), words::percent(percent), words::percent(hidden_percent))};
}

Finding frequency_wanders(double wander_hz) {
  return {"frequency_wanders",
          fmt::format("The frequency wanders by about {} Hz from second to second, more than noise "
                      "explains. Mains does that over minutes.",
                      words::in_digits_at_most(wander_hz, 2))};
}

Finding clock_wanders(double light_hz, double spread_percent, double range_hz) {
  return {"clock_wanders",
          fmt::format("The light's own clock wanders: its {} moved over {} Hz during the "
                      "capture, by {} % (rms) from second to second. No exposure stays a whole "
                      "number of its cycles; predictions reckon with three times as much, and with "
                      "1 % at least.",
                      words::hertz(light_hz), words::in_digits_at_most(range_hz, 2),
                      words::in_digits_at_most(spread_percent, 2))};
}

Finding mains_half_cycles(double percent, double mains_hz, bool alone) {
  if (alone) {
    return {
        "uneven_half_cycles",
        fmt::format(
            "All this light does is beat at the mains frequency itself ({}, {}), "
            "which few lamps do: more likely the sensor's cable picks up hum. Record the "
            "covered sensor: if the same line is there, it is hum and the lamp is steadier "
            "than this. Else its half cycles are unequal (an ageing tube, a half-wave dimmer, a "
            "failing driver), and only exposures of whole mains cycles are free of bands.",
            words::hertz(mains_hz), words::percent(percent))};
  }
  return {"uneven_half_cycles",
          fmt::format("The light also beats at the mains frequency itself ({}, {}): its half "
                      "cycles are unequal, as with an ageing tube, a half-wave dimmer or a failing "
                      "driver. Then only exposures of whole mains cycles are free of bands.",
                      words::hertz(mains_hz), words::percent(percent))};
}

Finding pst_needs_length(double duration_s) {
  return {"pst_needs_180_s",
          fmt::format("This light flickers slowly enough for PstLM to count, but PstLM needs three "
                      "minutes or more of evenly spaced samples; this capture has "
                      "{:.0f} s.",
                      duration_s)};
}

}  // namespace lampbeat::signal::measurement::honesty
