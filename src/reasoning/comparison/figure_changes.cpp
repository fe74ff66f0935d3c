#include "reasoning/comparison/figure_changes.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "reasoning/comparison/rhythms.hpp"
#include "words/numbers.hpp"
#include "words/units.hpp"

namespace lampbeat::reasoning::comparison {

namespace {

/// Found on one side, and deeper there than what the other would have shown.
bool above(const OccasionFigure& found, const OccasionFigure& nothing_found) {
  return found.value && found.sd && !nothing_found.value && nothing_found.at_most &&
         *found.value - changed_beyond * *found.sd > *nothing_found.at_most;
}

/// Nothing found on either side, and looked for as closely now as before.
bool nothing_either_time(const OccasionFigure& before, const OccasionFigure& after) {
  constexpr double as_closely = 1.5;
  return !before.value && !after.value && before.at_most && after.at_most &&
         *after.at_most <= as_closely * *before.at_most;
}

FigureChange change_of(const OccasionFigure& before, const OccasionFigure& after) {
  FigureChange figure{before, after, {}, {}, {}, ""};
  if (above(before, after) || above(after, before)) {
    figure.changed = true;
    figure.note = "more than the other could have hidden";
  }
  if (nothing_either_time(before, after)) {
    figure.changed = false;
    figure.note = "nothing found either time";
  }
  if (!before.value || !after.value) return figure;
  figure.change = *after.value - *before.value;
  if (before.role == FigureRole::rough_depth) {
    constexpr double too_small_to_tell = 0.1;  // points of a percentage, or of SVM and PstLM
    if (std::abs(*figure.change) >
        much * std::max(*before.value, *after.value) + too_small_to_tell) {
      figure.changed = true;
      figure.note = "by much, though it has no ±";
    }
    return figure;
  }
  if (!before.sd || !after.sd) return figure;
  figure.uncertainty = std::hypot(*before.sd, *after.sd);
  figure.changed = std::abs(*figure.change) > changed_beyond * *figure.uncertainty;
  return figure;
}

std::string value_words(const OccasionFigure& figure) {
  if (!figure.value) {
    return figure.at_most ? "less than " + words::percent(*figure.at_most) : "not known";
  }
  if (figure.unit == "%") return words::percent(*figure.value);
  if (figure.unit == "Hz") return words::hertz(*figure.value);
  if (figure.unit == "s") return words::duration(*figure.value);
  return words::in_digits(*figure.value);
}

}  // namespace

std::vector<FigureChange> figure_changes(const Occasion& before, const Occasion& after) {
  std::vector<FigureChange> changes;
  for (const OccasionFigure& figure : before.figures) {
    const auto same =
        std::find_if(after.figures.begin(), after.figures.end(),
                     [&](const OccasionFigure& other) { return other.name == figure.name; });
    if (same == after.figures.end()) continue;
    FigureChange change = change_of(figure, *same);
    if (figure.role == FigureRole::rhythm) settle_rhythm(change, before, after);
    changes.push_back(std::move(change));
  }
  return changes;
}

void withdraw_verdicts(std::vector<FigureChange>& figures) {
  for (FigureChange& figure : figures) {
    figure.uncertainty.reset();
    figure.changed.reset();
    figure.note.clear();
  }
}

bool rose(const FigureChange& figure) {
  if (!figure.changed.value_or(false)) return false;
  return figure.change ? *figure.change > 0.0 : figure.after.value.has_value();
}

bool fell(const FigureChange& figure) { return figure.changed.value_or(false) && !rose(figure); }

std::string course_words(const FigureChange& figure) {
  const char* way = rose(figure) ? "rose" : "fell";
  std::string before = value_words(figure.before);
  std::string after = value_words(figure.after);
  // A small change that is one needs the digits that show it.
  constexpr int most_digits = 9;
  const std::string unit = figure.before.unit.empty() ? "" : " " + figure.before.unit;
  for (int digits = 4; before == after && digits <= most_digits && figure.change; ++digits) {
    before = words::in_digits(*figure.before.value, digits) + unit;
    after = words::in_digits(*figure.after.value, digits) + unit;
  }
  return fmt::format("{} from {} to {}", way, before, after);
}

}  // namespace lampbeat::reasoning::comparison
