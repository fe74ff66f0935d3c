#include <fmt/format.h>

#include <algorithm>

#include "lampbeat/html.hpp"
#include "report/html/figures.hpp"
#include "report/html/parts.hpp"
#include "report/plots/plots.hpp"
#include "words/numbers.hpp"

namespace lampbeat {

using namespace report::html;

namespace {

/// The sentence under the verdict: what the light does, in this case's numbers.
std::string in_a_sentence(const Measurement& m) {
  if (const auto dark = dark_beside_steady(m)) {
    return fmt::format(
        "This light did not flicker while it was lit, but was dark from {:.1f} s to {:.1f} s.",
        dark->from_s, dark->to_s);
  }
  if (!m.dominant_hz && !m.unexplained.empty()) {
    return fmt::format("This light is unsteady: {} % of its mean (rms) is irregular, in no rhythm.",
                       words::in_digits(*m.unexplained_percent, 2));
  }
  if (m.steady_below_percent && !m.dominant_hz) {
    const std::string band =
        m.steady_from_hz && m.rate_hz
            ? fmt::format(" from {} to {} Hz", words::in_digits_at_most(*m.steady_from_hz, 2),
                          words::in_digits_at_most(*m.rate_hz / 2.0, 3))
            : "";
    return fmt::format(
        "This light is steady: no rhythm stronger than {} % of its mean was found{}.",
        words::in_digits(*m.steady_below_percent, 2), band);
  }
  if (m.percent_flicker && m.dominant_hz) {
    return fmt::format(
        "This light swings {} % about its middle, {} times a second{}.",
        words::in_digits(*m.percent_flicker), words::in_digits_at_most(*m.dominant_hz, 4),
        m.mains_hz
            ? fmt::format(", in step with {} Hz mains", words::in_digits_at_most(*m.mains_hz, 3))
            : ", not in step with the mains");
  }
  if (m.dominant_hz) {
    return fmt::format(
        "This light beats {} times a second, but how deeply cannot be said: see the notes below.",
        words::in_digits_at_most(*m.dominant_hz, 4));
  }
  return "This capture does not say what the light does: see the notes below.";
}

std::string headline(const Measurement& m, const PageCompanions& with) {
  if (with.filming) return filming_sentence(with.filming->filming);
  if (m.percent_flicker) return fmt::format("{} % flicker", words::in_digits(*m.percent_flicker));
  if (dark_beside_steady(m)) return "A lamp that went on or off";
  if (!m.dominant_hz && !m.unexplained.empty()) return "Unsteady light";
  if (m.steady_below_percent) return "Steady light";
  return "No percent flicker from this capture";
}

std::vector<View> component_rows(const Measurement& m) {
  std::vector<View> rows;
  constexpr std::size_t most = 12;
  for (std::size_t i = 0; i < std::min(most, m.components.size()); ++i) {
    const MeasuredComponent& c = m.components[i];
    View row;
    row.markup["hz"] = figure(fmt::format("components.{}.hz", i), c.hz, "Hz", 6);
    row.markup["percent"] = figure(fmt::format("components.{}.percent", i), c.percent, "%");
    row.markup["phase"] = figure(fmt::format("components.{}.phase_deg", i), c.phase_deg, "°");
    row.text["kind"] =
        c.mains_order ? fmt::format("{} × mains", *c.mains_order) : kind_word(c.kind);
    rows.push_back(row);
  }
  return rows;
}

View fact(const std::string& name, const std::string& value) {
  View view;
  view.text["name"] = name;
  view.markup["value"] = value;
  return view;
}

std::vector<View> key_figures(const Measurement& m, const PageCompanions& with) {
  std::vector<View> facts = {
      fact("percent flicker", figure("percent_flicker", m.percent_flicker, "%")),
      fact("flicker index", figure("flicker_index", m.flicker_index, "")),
      fact("strongest rhythm", figure("dominant_hz", m.dominant_hz, "Hz", 6)),
      fact("SVM", figure("svm", m.svm, "")),
  };
  if (with.filming) {
    facts.push_back(fact(
        "every exposure clean from",
        exposure_figure("shortest_clean_exposure_s", with.filming->shortest_clean_exposure_s)));
    facts.push_back(fact("fastest clean 180°",
                         fps_figure("highest_clean_fps", with.filming->highest_clean_fps)));
  }
  return facts;
}

std::string uncertainty(const char* key, std::optional<double> value, const char* unit) {
  return "<span class=\"whole\">±\u00A0" + figure(key, value, unit, 2) + "</span>";
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
  facts.push_back(fact("mains", figure("mains_hz", m.mains_hz, "Hz", 5)));
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
  return facts;
}

std::vector<View> standard_rows(const Measurement& m) {
  std::vector<View> rows;
  if (m.ieee) {
    View row;
    row.text["standard"] = "IEEE Std 1789-2015, clause 8.1.1";
    row.text["quantity"] = "percent flicker";
    row.markup["value"] = figure("ieee1789.percent", m.ieee->percent, "%") + " at " +
                          figure("ieee1789.hz", m.ieee->hz, "Hz", 5);
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

}  // namespace

std::string measurement_html(const Measurement& m, const PageCompanions& with) {
  View view;
  view.text["capture"] = m.capture;
  view.text["headline"] = headline(m, with);
  view.text["sentence"] = in_a_sentence(m);
  if (with.filming) view.markup["tile"] = report::plots::filming_tile(with.filming->filming);
  view.lists["key_figures"] = key_figures(m, with);
  for (const std::string& sentence : with.advice) {
    View line;
    line.text["sentence"] = sentence;
    view.lists["advice"].push_back(line);
  }
  if (!with.advice.empty()) view.lists["has_advice"] = {View{}};

  view.lists["waveform"] = drawing(report::plots::waveform_svg(m),
                                   "Averaged over every cycle of the capture, so "
                                   "the sensor's own noise is gone.");
  view.lists["spectrum"] = drawing(report::plots::spectrum_svg(m),
                                   "Discs are locked to the mains, diamonds run "
                                   "free. Dashes: the noise floor.");
  view.lists["over_time"] =
      drawing(report::plots::over_time_svg(m), "Each dash is one stretch of the capture.");
  if (with.plan) view.lists["map"] = map_view(*with.plan, with.field);
  if (with.pictured) {
    const Shot& shot = with.pictured->shot;
    view.lists["picture"] = picture_view(
        *with.pictured,
        fmt::format("left: a plain wall at {} frames a second, {} s, {:.0f} ms readout; right: the "
                    "same wall under steady light",
                    frame_rate_label(shot.fps), exposure_label(shot.exposure_s),
                    1e3 * shot.readout_s));
  }
  view.lists["components"] = component_rows(m);
  if (!m.components.empty()) view.lists["has_components"] = {View{}};
  view.lists["standards"] = standard_rows(m);
  if (!view.lists["standards"].empty()) view.lists["has_standards"] = {View{}};
  view.lists["lowpass"] = low_pass_cells(m);
  view.lists["how"] = how_captured(m);
  view.lists["findings"] = findings_view(m.warnings);
  if (m.warnings.empty()) view.lists["no_findings"] = {View{}};
  return page(fmt::format("{}: {}", m.capture, headline(m, with)), "sheet", {},
              render("measurement.mustache", view));
}

}  // namespace lampbeat
