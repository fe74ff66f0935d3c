#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "lampbeat/filming.hpp"
#include "lampbeat/text.hpp"
#include "lampbeat/text_style.hpp"
#include "words/foreign_text.hpp"
#include "words/numbers.hpp"
#include "words/sections.hpp"
#include "words/table.hpp"
#include "words/units.hpp"
#include "words/wrapping.hpp"

namespace lampbeat {

namespace {

/// As on a dial, rounded to the longer side: "1/180 s".
std::string speed_words(double exposure_s) {
  return exposure_s < 1.0 ? fmt::format("1/{:.0f} s", std::floor(1.0 / exposure_s))
                          : words::duration(exposure_s);
}

std::string rhythm_words(const Measurement& m) {
  if (!m.dominant_hz) return "";
  const double hz = *m.dominant_hz;
  if (m.mains_hz && !m.components.empty() && m.components.front().mains_order) {
    const int order = *m.components.front().mains_order;
    const std::string of_mains = fmt::format("the {} mains", words::hertz(*m.mains_hz));
    if (order == 1) return of_mains + " itself";
    if (order == 2) return "twice " + of_mains;
    return fmt::format("{} times {}", order, of_mains);
  }
  return fmt::format("not locked to the mains ({})",
                     hz > 200.0 ? "a dimmer or driver of its own" : "a rhythm of its own");
}

/// Of a light that lost its mean, at the deepest it can be.
std::string however_deep_sentence(const FilmingRating& rating) {
  if (rating.filming == FilmingClass::any_shutter) {
    return "However deep it is, fit for filming at any shutter.";
  }
  if (rating.filming == FilmingClass::no_safe_shutter) {
    return "At the deepest it can be, no shutter is safe; its depth would tell.";
  }
  return rating.shortest_clean_exposure_s
             ? fmt::format("However deep it is, every shutter of {} or longer films cleanly.",
                           speed_words(*rating.shortest_clean_exposure_s))
             : "However deep it is, it films cleanly at shutters that last a whole number of its "
               "cycles; "
               "'lampbeat shutters' lists them.";
}

std::string filming_sentence(const Measurement& m, const std::optional<FilmingRating>& rating) {
  if (m.mean && !m.dominant_hz && !m.unexplained.empty()) {
    return "No shutter is known to be safe: what has no rhythm cannot be matched.";
  }
  if (dark_beside_steady(m)) {
    return "No shutter is known to be safe: going on and off may be how this light flickers.";
  }
  if (!rating) return "";
  if (!m.mean && !m.deepest.empty()) return however_deep_sentence(*rating);
  if (rating->filming == FilmingClass::any_shutter) return "Fit for filming at any shutter.";
  if (m.steady_below_percent) {
    return "This recording is too noisy to call the light fit for every shutter: a flicker just "
           "below "
           "that could be hidden in it and still show on film.";
  }
  if (rating->filming == FilmingClass::no_safe_shutter) {
    return m.mains_hz ? "No safe shutter: this light bands or pulses whatever you set."
                      : "No safe shutter: this light follows its own clock, not the mains. That "
                        "clock may be 1 % off or more, and then every shutter shows bands or "
                        "pulsing.";
  }
  if (rating->filming == FilmingClass::ordinary_shutters) {
    const double from_s = std::min(ordinary_from_s, rating->shortest_clean_exposure_s.value_or(1));
    return fmt::format("Fit for filming at ordinary shutters: every one of {} or longer is clean.",
                       speed_words(from_s));
  }
  if (rating->shortest_clean_exposure_s) {
    return fmt::format(
        "Every shutter of {} or longer films cleanly; shorter ones only where they are "
        "matched to the light.",
        speed_words(*rating->shortest_clean_exposure_s));
  }
  return "Films cleanly only at the few shutters that last a whole number of this light's cycles; "
         "'lampbeat shutters' lists them.";
}

std::string verdict(const Measurement& m, int width) {
  // Its colon stays beside it.
  const std::string name = words::shown_name(m.capture, std::min(words::longest_name, width - 1));
  if (m.steady_below_percent) {
    const std::string band =
        m.steady_from_hz && m.rate_hz
            ? fmt::format(" from {} to {}", words::in_digits(*m.steady_from_hz, 2) + " Hz",
                          words::in_digits(*m.rate_hz / 2.0, 3) + " Hz")
            : "";
    return fmt::format("{}: steady. No flicker above {} of the mean{}.", name,
                       words::percent(*m.steady_below_percent), band);
  }
  if (m.percent_flicker && m.dominant_hz) {
    return fmt::format("{}: flickers by {} at {}.", name, words::percent(*m.percent_flicker),
                       words::hertz(*m.dominant_hz));
  }
  if (const auto dark = dark_beside_steady(m)) {
    return fmt::format("{}: no flicker while it was lit, but dark from {:.1f} s to {:.1f} s.", name,
                       dark->from_s, dark->to_s);
  }
  if (!m.dominant_hz && !m.unexplained.empty()) {
    return fmt::format("{}: unsteady. Irregular light of {} (rms), in no rhythm.", name,
                       words::percent(*m.unexplained_percent));
  }
  if (m.dominant_hz) {
    return fmt::format("{}: beats at {}; how deep cannot be told from this recording.", name,
                       words::hertz(*m.dominant_hz));
  }
  return fmt::format("{}: nothing can be said about this light's flicker.", name);
}

std::string raw_words(const Measurement& m) {
  if (!m.percent_flicker_raw) return "of the light, noise averaged out";
  const std::string raw = words::percent(*m.percent_flicker_raw);
  return m.states.empty() ? fmt::format("of the light; {} with the sensor's noise", raw)
                          : fmt::format("of the worst state; {} from one state to another", raw);
}

std::vector<words::TableRow> figures(const Measurement& m) {
  std::vector<words::TableRow> rows;
  if (m.percent_flicker) {
    rows.push_back(
        {"percent flicker",
         words::with_uncertainty(*m.percent_flicker, m.percent_flicker_sd.value_or(0), 2, "%"),
         raw_words(m)});
  }
  if (m.flicker_index) {
    rows.push_back(
        {"flicker index",
         words::with_uncertainty(*m.flicker_index, m.flicker_index_sd.value_or(0), 4, ""),
         "share of the light above its mean"});
  }
  if (m.dominant_hz) {
    rows.push_back({"strongest rhythm",
                    words::measured_hertz(*m.dominant_hz, m.dominant_hz_sd.value_or(0)),
                    rhythm_words(m)});
  }
  if (m.components.size() > 1) {
    std::string others;
    for (std::size_t i = 1; i < std::min<std::size_t>(m.components.size(), 5); ++i) {
      const MeasuredComponent& c = m.components[i];
      others += fmt::format(
          "{}{} {}", i > 1 ? ", " : "", words::hertz(c.hz),
          c.percent ? words::percent(*c.percent)
                    : fmt::format("{} of the strongest", words::in_digits(c.relative, 2)));
    }
    if (m.components.size() > 5) others += fmt::format(" and {} more", m.components.size() - 5);
    rows.push_back({"other components", others, ""});
  }
  if (m.over_time.windows.size() > 1 && m.over_time.worst_percent_flicker) {
    rows.push_back(
        {"over time",
         fmt::format("median {}, worst {}", words::percent(*m.over_time.median_percent_flicker),
                     words::percent(*m.over_time.worst_percent_flicker)),
         fmt::format("in the second from {:.0f} s", *m.over_time.worst_start_s)});
  }
  if (m.lowpass_percent[Ja10CutOff::at_200_hz]) {
    rows.push_back({"below 200 Hz", words::percent(*m.lowpass_percent[Ja10CutOff::at_200_hz]),
                    "percent flicker of its slower part alone (JA10)"});
  }
  if (m.svm) {
    rows.push_back({"stroboscopic SVM", fmt::format("{:.2f}", *m.svm),
                    *m.svm >= 1.0 ? "moving things are seen in steps (1 = just visible)"
                                  : "below what an average observer sees (1)"});
  }
  if (m.pst_lm)
    rows.push_back({"slow flicker PstLM", fmt::format("{:.2f}", *m.pst_lm), "1 = just visible"});
  if (m.ieee) {
    rows.push_back({"IEEE 1789", level_words(m.ieee->level),
                    fmt::format("{} at {}; low risk up to {}, no effect up to {} there",
                                words::percent(m.ieee->percent), words::hertz(m.ieee->hz),
                                words::percent(m.ieee->low_risk_limit_percent),
                                words::percent(m.ieee->no_effect_limit_percent))});
  }
  rows.push_back(
      {"capture", fmt::format("{} samples, {}", m.samples, words::duration(m.duration_s)),
       m.rate_hz ? fmt::format("{} a second{}", words::in_digits(*m.rate_hz, 5),
                               m.noise_percent ? ", noise " + words::percent(*m.noise_percent) +
                                                     " of the mean per sample"
                                               : "")
                 : ""});
  return rows;
}

}  // namespace

std::string to_text(const Measurement& m, const std::optional<FilmingRating>& filming,
                    const TextStyle& style) {
  std::string result =
      words::bold(words::wrapped(verdict(m, style.width), style.width), style) + "\n";
  if (const std::string sentence = filming_sentence(m, filming); !sentence.empty()) {
    result += words::wrapped(sentence, style.width) + "\n";
  }
  result += "\n" + words::table(figures(m), style);
  if (!m.warnings.empty()) {
    result += "\n" + words::findings("What to know", m.warnings, style);
  }
  return result;
}

}  // namespace lampbeat
