#include "reasoning/advice/advice_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>

#include "lampbeat/exposure.hpp"
#include "reasoning/mixture/series.hpp"
#include "reasoning/shutters/shutters_offers.hpp"
#include "reasoning/shutters/shutters_outlook.hpp"
#include "words/characters.hpp"
#include "words/foreign_text.hpp"
#include "words/lists.hpp"
#include "words/numbers.hpp"
#include "words/units.hpp"

namespace lampbeat::reasoning::advice {

namespace {

/// Whether "led" stands in the text as a word of its own: "LED panel", "led-pwm", not "filled".
bool speaks_of_led(const Light& light) {
  const std::string text = words::small_letters(light.name + " " + light.source);
  const auto letter = [&](std::size_t i) {
    return i < text.size() && std::isalpha(static_cast<unsigned char>(text[i]));
  };
  for (std::size_t at = text.find("led"); at != std::string::npos; at = text.find("led", at + 1)) {
    const bool plural = at + 3 < text.size() && text[at + 3] == 's' && !letter(at + 4);
    if ((at == 0 || !letter(at - 1)) && (!letter(at + 3) || plural)) return true;
  }
  return false;
}

const LightComponent* strongest_of(const Light& light) {
  const auto strongest = std::max_element(
      light.components.begin(), light.components.end(),
      [](const LightComponent& a, const LightComponent& b) { return a.amplitude < b.amplitude; });
  return strongest == light.components.end() ? nullptr : &*strongest;
}

}  // namespace

void Sentences::say(std::string sentence) {
  constexpr std::size_t most = 5;
  if (!sentence.empty() && said_.size() < most) said_.push_back(std::move(sentence));
}

std::string hertz_words(double hz) { return words::hertz(hz); }

std::string percent_words(double percent) { return words::percent(percent); }

std::string percent_rounded_up(double share) {
  constexpr double already_round = 1e-9;  // what arithmetic left of it
  constexpr double in_tenths_from = 99.0;
  const double percent = 100.0 * share;
  const double digit = percent > in_tenths_from + already_round ? 0.1 : 1.0;
  return words::in_decimals_at_most(std::ceil(percent / digit - already_round) * digit, 1);
}

std::string count_words(long count) {
  constexpr std::array<const char*, 13> words = {"no",   "one",    "two",   "three", "four",
                                                 "five", "six",    "seven", "eight", "nine",
                                                 "ten",  "eleven", "twelve"};
  return count >= 0 && count < static_cast<long>(words.size())
             ? words[static_cast<std::size_t>(count)]
             : std::to_string(count);
}

std::string name_words(const std::string& name) {
  constexpr int most_columns = 40;  // half a line, so that the sentence around it is still one
  return name.empty() ? "one light" : "'" + words::shown_name(name, most_columns) + "'";
}

std::string cost_words(double exposure_s, FrameRate fps) {
  const double blur = shutter_angle_deg(exposure_s, fps) / 180.0;
  const double stops = std::log2(blur);
  constexpr double no_stops = 0.05;  // no meter tells it
  if (std::abs(stops) < no_stops) return "";
  return fmt::format("{} {} than 180\u00b0, motion blur {:.0f} % of it", words::stops(stops),
                     stops < 0 ? "darker" : "brighter", 100.0 * blur);
}

std::vector<Rhythmic> rhythms_worth_a_word(std::span<const LightShare> lights) {
  std::vector<Rhythmic> found;
  for (const LightShare& l : lights) {
    const LightShare whole{l.light, 1.0};
    for (const mixture::Series& rhythm : mixture::series_of({&whole, 1})) {
      // The slowest part that matters names the rhythm, not a fundamental nobody could see.
      const mixture::Harmonic* first = nullptr;
      double strongest = 0.0;
      for (const mixture::Harmonic& h : rhythm.harmonics) {
        const double amplitude = l.share * std::abs(h.amplitude);
        strongest = std::max(strongest, amplitude);
        if (amplitude >= mixture::weakest_that_matters && (!first || h.order < first->order))
          first = &h;
      }
      if (!first) continue;
      const double hz = first->order * rhythm.hz;
      const auto known = std::find_if(found.begin(), found.end(), [&](const Rhythmic& r) {
        return std::abs(r.hz - hz) < 1e-6 * hz;
      });
      if (known == found.end()) {
        found.push_back({hz, strongest});
      } else {
        known->amplitude += strongest;
      }
    }
  }
  std::stable_sort(found.begin(), found.end(),
                   [](const Rhythmic& a, const Rhythmic& b) { return a.amplitude > b.amplitude; });
  return found;
}

double ripple_left(const LightShare& l, double exposure_s) {
  double sum = 0.0;
  for (const LightComponent& c : l.light.components) {
    sum += l.share * c.amplitude * std::abs(exposure_gain(c.hz, exposure_s));
  }
  return l.light.any_waveform ? std::min(sum, l.share) : sum;  // all there is
}

std::string blame_words(std::span<const LightShare> lights, double exposure_s) {
  const LightShare* most = nullptr;
  const LightShare* next = nullptr;
  for (const LightShare& l : lights) {
    if (!most || ripple_left(l, exposure_s) > ripple_left(*most, exposure_s)) {
      next = most;
      most = &l;
    } else if (!next || ripple_left(l, exposure_s) > ripple_left(*next, exposure_s)) {
      next = &l;
    }
  }
  if (!most || !next) return "";
  const double worse = ripple_left(*most, exposure_s);
  const double better = ripple_left(*next, exposure_s);
  constexpr double too_little = 1e-4;  // of the light: nobody sees it, whoever leaves it
  constexpr double stands_out = 1.5;   // less, and sweeping one lamp out would change little
  if (worse < too_little || worse < stands_out * better) return "";
  // Their sums are no contrast of rows, so no percentage of them stands beside one.
  constexpr double nearly_all = 20.0;  // times as much
  if (worse > nearly_all * better) {
    return fmt::format("{} is to blame: nearly all the ripple left here comes from it.",
                       name_words(most->light.name));
  }
  return fmt::format("{} is to blame: it leaves {} times as much ripple here as {}.",
                     name_words(most->light.name), words::in_digits_at_most(worse / better, 2),
                     name_words(next->light.name));
}

std::string whole_cycle_words(std::span<const LightShare> lights, const std::string& shutter,
                              double exposure_s) {
  const std::vector<Rhythmic> rhythms = rhythms_worth_a_word(lights);
  constexpr std::size_t most_rhythms = 3;  // a sentence that counts more is not read
  constexpr double as_typed = 1e-6;        // the digits of "16.6667ms"
  if (rhythms.empty() || rhythms.size() > most_rhythms) return "";
  std::vector<std::string> spans;
  bool exact = true;
  for (const Rhythmic& rhythm : rhythms) {
    const double cycles = rhythm.hz * exposure_s;
    const double whole = std::round(cycles);
    if (whole < 1.0 || std::abs(cycles - whole) > shutters::off_whole_cycles * cycles) return "";
    exact = exact && std::abs(cycles - whole) <= as_typed * cycles;
    spans.push_back(fmt::format("{} {} cycle{}", count_words(static_cast<long>(whole)),
                                hertz_words(rhythm.hz), whole == 1.0 ? "" : "s"));
  }
  return fmt::format("{} spans {} {}", shutter, exact ? "exactly" : "almost exactly",
                     words::listed(spans));
}

double told_percent_flicker(std::span<const LightShare> lights) {
  const LightShare* dominant = nullptr;
  double strongest = 0.0;
  for (const LightShare& l : lights) {
    const LightComponent* component = strongest_of(l.light);
    const double part = component ? l.share * component->amplitude : 0.0;
    if (part <= strongest) continue;
    strongest = part;
    dominant = &l;
  }
  const auto measured =
      dominant && dominant->light.figures ? dominant->light.figures->percent_flicker : std::nullopt;
  return measured.value_or(shutters::dominant_percent_flicker(lights));
}

std::string led_words(std::span<const LightShare> lights) {
  const LightShare* worst = nullptr;
  double highest = -1.0;
  for (const LightShare& l : lights) {
    if (!speaks_of_led(l.light)) continue;
    const double percent = told_percent_flicker({&l, 1});
    if (percent > highest) {
      highest = percent;
      worst = &l;
    }
  }
  if (!worst) return "";
  const LightComponent* strongest = strongest_of(worst->light);
  const std::string name = name_words(worst->light.name);
  // Common practice, no source: what people call flicker-free, and what they call flickering.
  constexpr double flicker_free_percent = 1.0;
  constexpr double flickering_percent = 5.0;
  if (highest < flicker_free_percent) {
    return fmt::format(
        "\"It is LED, so it is fine\" holds for {}, which ripples by {}; the next "
        "LED lamp may differ, so measure it too.",
        name, percent_words(highest));
  }
  if (highest < flickering_percent || !strongest) return "";
  if (strongest->mains_order) {
    return fmt::format(
        "\"LED\" or \"constant current\" proves nothing: {} follows the mains, {} "
        "deep at {}.",
        name, percent_words(highest), hertz_words(strongest->hz));
  }
  return fmt::format(
      "{} is LED and still {} deep at {}, a switching dimmer most likely; at full "
      "level it may be steady: measure that.",
      name, percent_words(highest), hertz_words(strongest->hz));
}

std::optional<double> other_mains_hz(std::optional<double> mains_hz) {
  if (!mains_hz) return std::nullopt;
  const double nominal_hz = nominal_mains_hz(*mains_hz);
  if (nominal_hz == 50.0) return 60.0;
  if (nominal_hz == 60.0) return 50.0;
  return std::nullopt;
}

PredictionOptions on_other_mains(PredictionOptions asked, double mains_hz) {
  asked.mains_hz = mains_hz;
  asked.mains_tolerance_hz.reset();
  return asked;
}

}  // namespace lampbeat::reasoning::advice
