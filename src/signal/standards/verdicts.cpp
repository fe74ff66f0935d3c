#include <fmt/format.h>

#include "lampbeat/standards.hpp"
#include "words/numbers.hpp"

// Limits of others, with their scope beside them. "Limit from memory" means that the document
// itself was not at hand when the limit was written down here.

namespace lampbeat {
namespace {

constexpr const char* european = "Regulation (EU) 2019/2020 as amended by 2021/341";
constexpr const char* european_scope =
    "LED and OLED mains light sources at full load; not for outdoor and industrial ones";
constexpr const char* nema = "NEMA 77-2017";
constexpr const char* ieee = "IEEE Std 1789-2015";

enum class Comparison { at_most, below };

StandardVerdict verdict(const char* standard, std::string quantity, std::optional<double> value,
                        const char* unit, double limit, Comparison comparison, std::string note) {
  StandardVerdict line{standard, std::move(quantity), value,          unit,
                       limit,    std::nullopt,        std::move(note)};
  if (value) line.met = comparison == Comparison::below ? *value < limit : *value <= limit;
  return line;
}

/// Says first why there is no value.
std::string noted(const std::optional<double>& value, const char* why_not, std::string note) {
  return value ? note : fmt::format("not measured: {}; {}", why_not, note);
}

void add_ieee1789(std::vector<StandardVerdict>& table, const StandardFigures& figures) {
  if (!figures.dominant_hz) return;
  const Ieee1789 limits =
      figures.ieee.value_or(ieee1789(figures.percent_flicker.value_or(0.0), *figures.dominant_hz));
  const std::optional<double> percent =
      figures.ieee ? std::optional(limits.percent) : figures.percent_flicker;
  const auto add = [&](const char* practice, double limit, bool met) {
    std::string note =
        fmt::format("at {} Hz; limit from memory", words::in_digits_at_most(limits.hz, 5));
    if (limit >= 100.0) note += "; this frequency is not restricted";
    if (!percent) note = "not measured: no percent flicker; " + note;
    StandardVerdict line{
        ieee,           fmt::format("modulation, {}", practice), percent, "%", limit, std::nullopt,
        std::move(note)};
    if (percent) line.met = met;
    table.push_back(std::move(line));
  };
  add(level_words(Ieee1789Level::low_risk), limits.low_risk_limit_percent,
      limits.level != Ieee1789Level::above_low_risk);
  add(level_words(Ieee1789Level::no_observable_effect), limits.no_effect_limit_percent,
      limits.level == Ieee1789Level::no_observable_effect);
}

}  // namespace

std::vector<StandardVerdict> standard_verdicts(const StandardFigures& figures) {
  std::vector<StandardVerdict> table;
  constexpr const char* no_svm = "needs components relative to a mean";
  constexpr const char* no_pst = "needs at least 180 s";
  constexpr const char* no_percent = "no percent flicker";
  using enum Comparison;
  table.push_back(
      verdict(european, "SVM", figures.svm, "", 0.4, at_most,
              noted(figures.svm, no_svm,
                    fmt::format("since 1 September 2024; {}; market surveillance grants "
                                "0.1 above the declared value",
                                european_scope))));
  table.push_back(verdict(european, "PstLM", figures.pst_lm, "", 1.0, at_most,
                          noted(figures.pst_lm, no_pst, european_scope)));
  table.push_back(verdict(
      nema, "SVM", figures.svm, "", 1.6, at_most,
      noted(figures.svm, no_svm, "indoor lighting; limit from memory; cameras are not its scope")));
  table.push_back(
      verdict(nema, "Pst", figures.pst_lm, "", 1.0, at_most,
              noted(figures.pst_lm, no_pst, "limit from memory; cameras are not its scope")));
  table.push_back(verdict("California Energy Code JA8, tested per JA10", "modulation below 200 Hz",
                          figures.below_200_percent, "%", ja8_limit_percent, below,
                          noted(figures.below_200_percent, "needs evenly spaced samples and a mean",
                                "reduced flicker operation, at full and dimmed levels")));
  add_ieee1789(table, figures);
  for (const FlickerFactorLimit& limit : flicker_factor_limits()) {
    table.push_back(verdict(limit.standard, "flicker factor", figures.percent_flicker, "%",
                            limit.percent, below,
                            noted(figures.percent_flicker, no_percent, limit.note)));
  }
  return table;
}

}  // namespace lampbeat
