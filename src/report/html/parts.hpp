#pragma once

#include <optional>
#include <string>
#include <vector>

#include "lampbeat/filming.hpp"
#include "lampbeat/finding.hpp"
#include "lampbeat/prediction.hpp"
#include "lampbeat/shutters.hpp"
#include "lampbeat/standards.hpp"
#include "report/html/render.hpp"

// Parts that several pages share, as filled template sections.

namespace lampbeat::report::html {

/// One figure and what it is of: its value is markup.
View fact(const std::string& name, const std::string& value);

/// {{#findings}}: one entry per finding, code and message.
std::vector<View> findings_view(const Findings& findings);

/// Rows of the standards table.
std::vector<View> standards_view(const std::vector<StandardVerdict>& standards);

/// Rows of the table of settings beneath a shutter map: the best three clean ones of each
/// frame rate, or where none is clean the best one a dial has.
std::vector<View> settings_view(const std::vector<Setting>& settings);

/// One drawing with its caption, or nothing when there is no drawing.
std::vector<View> drawing(const std::string& svg, const std::string& caption);

/// {{#map}}: where the picture is clean, the camera's own steps before a dense sweep of exposures.
std::vector<View> map_view(const ShutterPlan& plan, const std::optional<ShutterPlan>& field);

/// {{#picture}}: the frame this prediction foresees, and which shot it shows.
std::vector<View> picture_view(const Prediction& prediction, const std::string& note);

/// "the ceiling panel and the desk lamp".
std::string names_of(const std::vector<LightShare>& lights);

/// How far the mains (Hz) and free-running clocks (%) may be off: "± 0.5 Hz, ± 1.2 %".
std::string margin_words(const Setting& s);

/// "30 % at 120 Hz" of the strongest component, or "steady".
std::string rhythm_words(const Light& light);

/// "60 Hz mains ± 0.14 Hz", or that no light follows the mains.
std::string mains_words(const std::optional<double>& mains_hz, double tolerance_hz);

/// "3.9 % bands": what of it is seen most, and how deep.
std::string left_words(const Recorded& recorded);

/// "Clean: nobody will see the lights beat": for headings.
std::string verdict_sentence(const Recorded& recorded);
/// That of a shot's worst case, or that it is clean only as far as was measured.
std::string headline(const Prediction& prediction);

/// The whole heading for a filming class.
std::string filming_sentence(FilmingClass filming);

}  // namespace lampbeat::report::html
