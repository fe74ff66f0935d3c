#include "report/html/measurement_tables.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "report/html/figures.hpp"
#include "report/html/parts.hpp"

namespace lampbeat::report::html {

namespace {

std::string uncertainty(const char* key, std::optional<double> value, const char* unit) {
  return "<span class=\"whole\">±\u00A0" + figure(key, value, unit, 2) + "</span>";
}

}  // namespace

std::vector<View> component_rows(const Measurement& m) {
  std::vector<View> rows;
  constexpr std::size_t most = 12;  // half a sheet; JSON lists them all
  for (std::size_t i = 0; i < std::min(most, m.components.size()); ++i) {
    const MeasuredComponent& c = m.components[i];
    View row;
    row.markup["hz"] = rhythm_figure(fmt::format("components.{}.hz", i), c.hz);
    row.markup["percent"] = figure(fmt::format("components.{}.percent", i), c.percent, "%");
    row.markup["phase"] = figure(fmt::format("components.{}.phase_deg", i), c.phase_deg, "°");
    row.text["kind"] =
        c.mains_order ? fmt::format("{} × mains", *c.mains_order) : kind_word(c.kind);
    rows.push_back(row);
  }
  return rows;
}

std::vector<View> key_figures(const Measurement& m, const PageCompanions& with) {
  std::vector<View> facts = {
      fact("percent flicker", figure("percent_flicker", m.percent_flicker, "%")),
      fact("flicker index", figure("flicker_index", m.flicker_index, "")),
      fact("strongest rhythm", rhythm_figure("dominant_hz", m.dominant_hz)),
      fact("SVM", figure("svm", m.svm, "")),
  };
  if (with.filming) {
    facts.push_back(fact(
        "clean at this shutter and all longer",
        exposure_figure("shortest_clean_exposure_s", with.filming->shortest_clean_exposure_s)));
    facts.push_back(
        fact("clean stops", clean_stops_figure("clean_stops", with.filming->clean_stops)));
    facts.push_back(
        fact("180° is clean at", fps_figure("highest_clean_fps", with.filming->clean_180)));
  }
  return facts;
}

std::vector<View> how_captured(const Measurement& m) {
  View name;
  name.text["name"] = "capture";
  name.text["plain"] = m.capture;
  View kind;
  kind.text["name"] = "read as";
  kind.text["plain"] = m.capture_kind;
  std::vector<View> facts = {name, kind};
  facts.push_back(fact("samples", count_figure("samples", m.samples)));
  facts.push_back(fact("rate", figure("rate_hz", m.rate_hz, "samples/s", 6)));
  facts.push_back(fact("length", figure("duration_s", m.duration_s, "s", 4)));
  facts.push_back(fact("mean level", figure("mean", m.mean, "")));
  facts.push_back(
      fact("noise of one sample", figure("noise_percent", m.noise_percent, "% of mean")));
  facts.push_back(fact("mains", rhythm_figure("mains_hz", m.mains_hz)));
  facts.push_back(fact("percent flicker of the raw samples",
                       figure("percent_flicker_raw", m.percent_flicker_raw, "%")));
  if (m.steady_below_percent) {
    facts.push_back(
        fact("steady below", figure("steady_below_percent", m.steady_below_percent, "% of mean")));
    if (m.steady_from_hz) {
      facts.push_back(fact("steady from", figure("steady_from_hz", m.steady_from_hz, "Hz", 2)));
    }
  }
  if (m.clock_spread_percent) {
    facts.push_back(fact("straying of its own clock",
                         figure("clock_spread_percent", m.clock_spread_percent, "%", 2)));
  }
  if (m.percent_flicker_sd) {
    facts.push_back(fact("uncertainty of percent flicker",
                         uncertainty("percent_flicker_uncertainty", m.percent_flicker_sd, "%")));
  }
  if (m.dominant_hz_sd) {
    facts.push_back(fact("uncertainty of the frequency",
                         uncertainty("dominant_hz_uncertainty", m.dominant_hz_sd, "Hz")));
  }
  facts.push_back(
      fact("clock of the recorder good to", figure("clock_ppm", m.clock_ppm, "ppm", 3)));
  return facts;
}

std::vector<View> standard_rows(const Measurement& m) {
  std::vector<View> rows;
  if (m.ieee) {
    View row;
    row.text["standard"] = "IEEE Std 1789-2015, clause 8.1.1";
    row.text["quantity"] = "percent flicker";
    row.markup["value"] = figure("ieee1789.percent", m.ieee->percent, "%") + " at " +
                          rhythm_figure("ieee1789.hz", m.ieee->hz);
    row.markup["limit"] =
        figure("ieee1789.low_risk_limit_percent", m.ieee->low_risk_limit_percent, "%") +
        " low risk, " +
        figure("ieee1789.no_effect_limit_percent", m.ieee->no_effect_limit_percent, "%") +
        " no effect";
    row.text["met"] = level_words(m.ieee->level);
    row.text["met_class"] = m.ieee->level == Ieee1789Level::above_low_risk ? "over" : "within";
    row.text["note"] = "of the worst rhythm; limits depend on its frequency";
    rows.push_back(row);
  }
  for (View& row : standards_view(m.standards)) {
    // Its level, with both limits, already stands in the first row.
    const bool told = m.ieee && row.text["standard"].rfind("IEEE Std 1789", 0) == 0;
    if (!told) rows.push_back(std::move(row));
  }
  return rows;
}

std::vector<View> low_pass_cells(const Measurement& m) {
  std::vector<View> cells;
  for (const Ja10CutOff cut_off : ja10_cut_offs) {
    const std::string hz = fmt::format("{:.0f}", cut_off_hz(cut_off));
    View cell;
    cell.text["cut_off"] = hz + " Hz";
    cell.markup["value"] = figure("lowpass_percent." + hz, m.lowpass_percent[cut_off], "%");
    cells.push_back(cell);
  }
  return cells;
}

}  // namespace lampbeat::report::html
