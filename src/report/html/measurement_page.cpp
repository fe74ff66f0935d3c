#include <fmt/format.h>

#include "lampbeat/html.hpp"
#include "report/html/measurement_tables.hpp"
#include "report/html/parts.hpp"
#include "report/plots/plots.hpp"
#include "words/numbers.hpp"
#include "words/units.hpp"

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
    return fmt::format("This light is unsteady: {} of its mean (rms) is irregular, in no rhythm.",
                       words::percent(*m.unexplained_percent));
  }
  if (m.steady_below_percent && !m.dominant_hz) {
    const std::string band =
        m.steady_from_hz && m.rate_hz
            ? fmt::format(" from {} to {} Hz", words::in_digits_at_most(*m.steady_from_hz, 2),
                          words::in_digits_at_most(*m.rate_hz / 2.0, 3))
            : "";
    return fmt::format("This light is steady: no rhythm stronger than {} of its mean was found{}.",
                       words::percent(*m.steady_below_percent), band);
  }
  if (m.percent_flicker && m.dominant_hz) {
    return fmt::format(
        "This light swings {} to either side of its middle, {} times a second{}.",
        words::percent(*m.percent_flicker), words::in_digits_at_most(*m.dominant_hz, 5),
        m.mains_hz ? fmt::format(", in step with {} mains", words::hertz(*m.mains_hz))
                   : ", not in step with the mains");
  }
  if (m.dominant_hz) {
    return fmt::format(
        "This light beats {} times a second, but how deeply cannot be said: see the notes below.",
        words::in_digits_at_most(*m.dominant_hz, 5));
  }
  return "This capture does not say what the light does: see the notes below.";
}

std::string headline(const Measurement& m, const PageCompanions& with) {
  if (with.filming) return filming_sentence(with.filming->filming);
  if (m.percent_flicker) return words::percent(*m.percent_flicker) + " flicker";
  if (dark_beside_steady(m)) return "A lamp that went on or off";
  if (!m.dominant_hz && !m.unexplained.empty()) return "Unsteady light";
  if (m.steady_below_percent) return "Steady light";
  return "No percent flicker from this capture";
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
        fmt::format(
            "left: a plain wall at {} frames a second, {} s, {:.0f} ms readout ({}); right: "
            "the same wall under steady light",
            frame_rate_label(shot.fps), exposure_label(shot.exposure_s), 1e3 * shot.readout_s,
            verdict_word(with.pictured->worst.verdict)));
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
