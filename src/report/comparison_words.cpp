#include "report/comparison_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "words/lists.hpp"
#include "words/numbers.hpp"
#include "words/units.hpp"

namespace lampbeat::report {

namespace {

constexpr int digits_of_sd = 2;
constexpr int decimals_of_a_figure = 4;
constexpr int decimals_of_a_change = 7;  // it is the small difference of two

/// As many decimals as the ± supports; without one, those of any figure.
std::string with_sd(double value, const std::optional<double>& sd, const std::string& unit,
                    int most_decimals) {
  if (!sd) {
    if (unit == "%") return words::percent(value);
    return words::in_digits(value) + (unit.empty() ? "" : " " + unit);
  }
  const int decimals =
      *sd > 0.0 ? words::decimals_for(*sd, digits_of_sd, most_decimals) : most_decimals;
  return words::with_uncertainty(value, *sd, decimals, unit);
}

/// In the unit a person would use.
struct Shown {
  double times = 1.0;
  std::string unit;
};

Shown shown_as(const OccasionFigure& figure) {
  if (figure.unit == "s") return {1e3, "ms"};
  return {1.0, figure.unit};
}

std::optional<double> scaled(const std::optional<double>& value, double times) {
  return value ? std::optional(*value * times) : std::nullopt;
}

int urgency(ChangeVerdict verdict) {
  switch (verdict) {
    case ChangeVerdict::worse:
      return 0;
    case ChangeVerdict::unknown:
      return 1;
    case ChangeVerdict::better:
      return 2;
    case ChangeVerdict::unchanged:
      return 3;
  }
  return 0;
}

}  // namespace

std::string value_words(const OccasionFigure& figure) {
  if (!figure.value) {
    return figure.at_most ? "under " + words::percent(*figure.at_most) : "not known";
  }
  const Shown shown = shown_as(figure);
  return with_sd(*figure.value * shown.times, scaled(figure.sd, shown.times), shown.unit,
                 decimals_of_a_figure);
}

std::string change_words(const FigureChange& figure) {
  if (!figure.change) return "";
  const Shown shown = shown_as(figure.before);
  const double change = *figure.change * shown.times;
  if (!figure.uncertainty && value_words(figure.before) == value_words(figure.after)) return "0";
  const std::string size = with_sd(std::abs(change), scaled(figure.uncertainty, shown.times),
                                   shown.unit == "%" ? "points" : shown.unit, decimals_of_a_change);
  const bool is_none = size.find_first_of("123456789") >= size.find(" ±");  // as far as written
  return (is_none ? "" : change > 0.0 ? "+" : "−") + size;
}

std::string changed_words(const FigureChange& figure) {
  if (!figure.changed) {
    return figure.before.sd && figure.after.sd ? "cannot tell" : "no ± to judge it by";
  }
  const std::string words = *figure.changed ? "changed" : "the same";
  return figure.note.empty() ? words : words + ": " + figure.note;
}

std::string occasion_words(const Occasion& occasion, const std::string& source) {
  const std::string named = source.empty() ? "an unnamed capture" : source;
  return occasion.at.empty() ? named : fmt::format("{}, from {}", occasion.at, named);
}

std::string summary_words(const std::vector<Comparison>& comparisons,
                          const std::string& only_name) {
  if (comparisons.empty()) return "There is nothing to compare.";
  if (comparisons.size() == 1) {
    const Comparison& only = comparisons.front();
    return only.verdict == ChangeVerdict::unknown
               ? fmt::format("Whether {} changed is not known.", only_name)
               : fmt::format("{} is {}.", only_name, change_word(only.verdict));
  }
  std::vector<std::string> counts;
  for (const ChangeVerdict verdict : {ChangeVerdict::worse, ChangeVerdict::unknown,
                                      ChangeVerdict::better, ChangeVerdict::unchanged}) {
    const auto count = std::count_if(comparisons.begin(), comparisons.end(),
                                     [&](const Comparison& c) { return c.verdict == verdict; });
    if (count > 0) counts.push_back(fmt::format("{} {}", count, change_word(verdict)));
  }
  const bool places = std::all_of(comparisons.begin(), comparisons.end(), [](const Comparison& c) {
    return !c.course.empty() && c.course.back().kind == OccasionKind::place;
  });
  return fmt::format("Of {} {}, {}.", comparisons.size(), places ? "places" : "fixtures",
                     words::listed(counts));
}

std::vector<const Comparison*> by_urgency(const std::vector<Comparison>& comparisons) {
  std::vector<const Comparison*> order;
  for (const Comparison& comparison : comparisons) order.push_back(&comparison);
  std::stable_sort(order.begin(), order.end(), [](const Comparison* a, const Comparison* b) {
    return urgency(a->verdict) < urgency(b->verdict);
  });
  return order;
}

}  // namespace lampbeat::report
