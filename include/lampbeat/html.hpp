#pragma once

#include <optional>
#include <string>
#include <vector>

#include "lampbeat/filming.hpp"
#include "lampbeat/measurement.hpp"
#include "lampbeat/prediction.hpp"
#include "lampbeat/rating.hpp"
#include "lampbeat/shutters.hpp"

// Pages to read, print or keep: one self-contained HTML file each. No network, no script; light and
// dark as the reader's system is set; A4 and Letter. Every figure carries its full value in a
// <data> element whose `title` is the JSON key, so a page can be checked against the JSON.

namespace lampbeat {

/// What a page shows beside its main result; each part may be missing, and the page then goes
/// without it.
struct PageCompanions {
  std::vector<std::string> advice;       ///< sentences, most useful first
  std::string picture_png;               ///< the predicted picture, PNG bytes
  std::string picture_note;              ///< which shot it shows
  std::optional<FilmingRating> filming;  ///< of the measured light
  std::optional<ShutterPlan> plan;       ///< the camera's own steps, for the map and its table
  std::optional<ShutterPlan> field;      ///< a dense sweep of exposures, drawn behind the steps
};

std::string measurement_html(const Measurement& measurement, const PageCompanions& companions = {});
std::string prediction_html(const Prediction& prediction, const PageCompanions& companions = {});

/// The card for the wall: frame rates down, shutters across, one landscape sheet.
std::string shutter_card_html(const ShutterPlan& plan);

std::string shelf_html(const ShelfRating& rating);

}  // namespace lampbeat
