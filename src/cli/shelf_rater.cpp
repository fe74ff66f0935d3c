#include "cli/shelf_rater.hpp"

#include <fmt/format.h>

#include <mutex>

#include "cli/interrupts.hpp"
#include "cli/parallel.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/light_profile.hpp"
#include "lampbeat/measurement_line.hpp"
#include "lampbeat/meter.hpp"

namespace lampbeat::cli {

namespace {

/// A light measured before.
void rate_saved(RatedItem& rated, const ToRate& item, const ShelfRater& rater) {
  if (!item.entry.dark.empty()) {
    throw InputError(
        item.file + ": is a saved light, which needs no dark reading; measure its capture with it");
  }
  const Light light = read_light_profile(item.file);
  FixtureRating rating = rate_light(light, rater.readout_s, rater.options, rater.rates);
  rating.capture = item.file;
  rated.depth = depth_of(light, rating);
  rated.rating = std::move(rating);
}

Measurement measured(const ToRate& item, const ShelfRater& rater) {
  if (!item.line.empty()) return read_measurement_line(item.line);
  MeasurementSettings own = rater.settings;
  if (!item.entry.dark.empty()) {
    CaptureArguments with_dark = rater.reading;
    with_dark.dark = item.entry.dark;
    own = with_dark.resolved();
  }
  const auto source = open_capture(item.entry.capture, rater.reading.capture);
  return measure(*source, own);
}

void rate_measured(RatedItem& rated, const ToRate& item, const ShelfRater& rater) {
  const Measurement measurement = measured(item, rater);
  rated.depth = depth_of(measurement);
  rated.rating = rate_capture(measurement, rater.readout_s, rater.options, rater.rates);
}

void rate(RatedItem& rated, const ToRate& item, const ShelfRater& rater) {
  item.saved ? rate_saved(rated, item, rater) : rate_measured(rated, item, rater);
  rated.rating->fixture = item.entry.fixture;
  rated.rating->level = item.entry.level;
  rated.rating->notes = item.entry.notes;
}

/// A table that holds no readings may have been meant to name those that do.
bool could_be_a_list(const ToRate& item, const std::string& reason) {
  return item.named && !item.saved && reason.find("no row of numbers") != std::string::npos;
}

}  // namespace

std::vector<RatedItem> rate_all(const std::vector<ToRate>& items, const ShelfRater& rater, int jobs,
                                const Session& session) {
  std::vector<RatedItem> rated(items.size());
  RunningLine line(session);
  std::mutex line_in_use;
  std::size_t done = 0;
  for_each_index(items.size(), jobs, [&](std::size_t i) {
    if (interrupted()) return;
    try {
      rate(rated[i], items[i], rater);
    } catch (const std::exception& error) {
      rated[i].reason = error.what();
      if (could_be_a_list(items[i], rated[i].reason)) {
        rated[i].reason += "; a list of fixtures needs the headings fixture,capture";
      }
    }
    const std::lock_guard lock(line_in_use);
    line.show(fmt::format("{} of {} rated", ++done, items.size()));
  });
  return rated;
}

}  // namespace lampbeat::cli
