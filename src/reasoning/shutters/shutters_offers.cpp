#include "reasoning/shutters/shutters_offers.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "arithmetic/phase.hpp"
#include "lampbeat/error.hpp"
#include "reasoning/camera/fits.hpp"
#include "reasoning/mixture/series.hpp"
#include "reasoning/shutters/shutters_ranges.hpp"
#include "words/numbers.hpp"

namespace lampbeat::reasoning::shutters {

namespace {

// Common practice, no source: the steps found on menus and dials.
constexpr std::array<int, 41> speeds = {
    24,  25,  30,  33,   40,   48,   50,   60,   72,   80,   90,   96,   100, 120,
    125, 144, 150, 160,  180,  200,  240,  250,  288,  320,  360,  400,  480, 500,
    640, 800, 960, 1000, 1250, 1600, 2000, 2500, 3200, 4000, 5000, 6400, 8000};
constexpr std::array<double, 19> angles = {11.25, 15,  22.5, 30,    45,  60,  72,  86.4,  90, 108,
                                           120,   144, 150,  172.8, 180, 216, 270, 345.6, 360};

/// Two whole-cycle exposures this close suggest one in between that suits both rhythms: half of it
/// off whole cycles leaves 1.5 % of each.
constexpr double near_miss = 0.03;

struct Line {
  double hz;
  double amplitude;
};

std::vector<Line> lines_that_matter(std::span<const LightShare> lights) {
  std::vector<Line> lines;
  for (const LightShare& l : lights) {
    for (const LightComponent& c : l.light.components) {
      if (l.share * c.amplitude >= mixture::weakest_that_matters)
        lines.push_back({c.hz, l.share * c.amplitude});
    }
  }
  return lines;
}

/// One line for every rhythm: those that are no multiple of a slower one.
std::vector<Line> rhythms_that_matter(std::span<const LightShare> lights) {
  constexpr double whole_ratio = 1e-4;  // finer than two clocks keep step
  std::vector<Line> lines = lines_that_matter(lights);
  std::sort(lines.begin(), lines.end(), [](const Line& a, const Line& b) { return a.hz < b.hz; });
  std::vector<Line> rhythms;
  for (const Line& line : lines) {
    const auto slower = std::find_if(rhythms.begin(), rhythms.end(), [&](const Line& r) {
      const double ratio = line.hz / r.hz;
      return arithmetic::off_whole(ratio) < whole_ratio * ratio;
    });
    if (slower == rhythms.end()) {
      rhythms.push_back(line);
    } else {
      slower->amplitude = std::max(slower->amplitude, line.amplitude);
    }
  }
  return rhythms;
}

/// How a finely stepped shutter would show it: whole fractions, tenths of a degree, or a
/// hundredth of a hertz.
std::string fine_label(double exposure_s, FrameRate fps) {
  constexpr double as_a_menu_rounds = 1e-4;  // 1/59.998 is shown as 1/60, see exposure_label
  const double inverse = 1.0 / exposure_s;
  if (arithmetic::off_whole(inverse) < as_a_menu_rounds * inverse)
    return exposure_label(exposure_s);
  const double angle = shutter_angle_deg(exposure_s, fps);
  const double tenth = std::round(10.0 * angle) / 10.0;
  if (std::abs(angle - tenth) < as_a_menu_rounds * angle)
    return words::in_decimals_at_most(tenth, 1) + "\u00b0";
  return "1/" + words::in_decimals_at_most(inverse, 2);
}

}  // namespace

std::vector<double> whole_cycle_exposures(std::span<const LightShare> lights, FrameRate fps) {
  constexpr int most_per_rhythm = 16;  // a light of 400 Hz at 24 fps: every whole number of cycles
  constexpr double countless = 1e6;    // cycles a frame: none is an exposure of its own
  const double frame_s = fps.frame_s();
  const std::vector<Line> rhythms = rhythms_that_matter(lights);
  std::vector<std::pair<double, const Line*>> whole;
  for (const Line& rhythm : rhythms) {
    const double most = std::floor(frame_s * rhythm.hz * (1.0 + 1e-9));
    if (most < 1.0 || most > countless) continue;
    // Of a fast rhythm only the choices near 180° and the longest: between them all are alike.
    const double middle = std::max(1.0, std::round(most / 2.0));
    constexpr int before_middle = most_per_rhythm / 2;
    const double first = most <= most_per_rhythm ? 1.0 : std::max(1.0, middle - before_middle);
    for (double cycles = first; cycles <= most && cycles < first + most_per_rhythm; ++cycles) {
      whole.push_back({cycles / rhythm.hz, &rhythm});
    }
    if (most > most_per_rhythm) whole.push_back({most / rhythm.hz, &rhythm});
  }
  std::vector<double> exposures;
  for (const auto& [exposure_s, rhythm] : whole) {
    exposures.push_back(exposure_s);
    for (const auto& [other_s, other] : whole) {
      const double apart = std::abs(other_s / exposure_s - 1.0);
      if (other <= rhythm || apart > near_miss || apart < same_exposure) continue;
      const double weight = rhythm->amplitude + other->amplitude;
      exposures.push_back((exposure_s * rhythm->amplitude + other_s * other->amplitude) / weight);
    }
  }
  return exposures;
}

namespace {

Offer speed_stop(int speed, FrameRate fps) {
  return {std::min(1.0 / speed, fps.frame_s()), fmt::format("1/{}", speed)};
}

Offer angle_stop(double angle, FrameRate fps) {
  return {angle / 360.0 * fps.frame_s(), words::in_decimals_at_most(angle, 2) + "\u00b0"};
}

}  // namespace

std::vector<Offer> each_offer_once(std::vector<Offer> offers) {
  std::stable_sort(offers.begin(), offers.end(), [](const Offer& a, const Offer& b) {
    return a.exposure_s > b.exposure_s * (1.0 + same_exposure);
  });
  offers.erase(std::unique(offers.begin(), offers.end(),
                           [](const Offer& a, const Offer& b) {
                             return std::abs(a.exposure_s - b.exposure_s) <=
                                    same_exposure * a.exposure_s;
                           }),
               offers.end());
  return offers;
}

std::vector<Offer> customary_stops(FrameRate fps, ShutterNotation notation) {
  std::vector<Offer> stops;
  if (notation == ShutterNotation::angle) {
    for (const double angle : angles) stops.push_back(angle_stop(angle, fps));
  } else {
    for (const int speed : speeds) {
      if (camera::fits(1.0 / speed, fps)) stops.push_back(speed_stop(speed, fps));
    }
  }
  return stops;
}

std::optional<Offer> nearest_stop(double exposure_s, FrameRate fps, ShutterNotation notation) {
  const std::vector<Offer> stops = customary_stops(fps, notation);
  const auto apart = [&](const Offer& stop) {
    return std::abs(std::log2(stop.exposure_s / exposure_s));
  };
  const auto nearest =
      std::min_element(stops.begin(), stops.end(),
                       [&](const Offer& a, const Offer& b) { return apart(a) < apart(b); });
  return nearest == stops.end() ? std::nullopt : std::optional(*nearest);
}

std::vector<Offer> customary_offers(std::span<const LightShare> lights, FrameRate fps) {
  const double frame_s = fps.frame_s();
  std::vector<Offer> offers;
  for (const int speed : speeds) {
    const double exposure_s = 1.0 / speed;
    if (!camera::fits(exposure_s, fps)) continue;
    if (shutter_angle_deg(exposure_s, fps) < darkest_deg) continue;
    offers.push_back(speed_stop(speed, fps));
  }
  for (const double angle : angles) offers.push_back(angle_stop(angle, fps));
  for (const double exposure_s : whole_cycle_exposures(lights, fps)) {
    offers.push_back({exposure_s, fine_label(exposure_s, fps)});
  }
  offers.erase(std::remove_if(offers.begin(), offers.end(),
                              [&](const Offer& offer) {
                                return offer.exposure_s <
                                       darkest_deg / 360.0 * frame_s * (1.0 - 1e-9);
                              }),
               offers.end());
  for (Offer& offer : offers) offer.exposure_s = std::min(offer.exposure_s, frame_s);
  return each_offer_once(std::move(offers));
}

std::vector<Offer> listed_offers(std::span<const std::string> available, FrameRate fps) {
  // One frame a second is the slowest there is: what does not fit there fits nowhere.
  constexpr FrameRate slowest{1, 1};
  std::vector<Offer> offers;
  for (const std::string& text : available) {
    if (range_from(text)) continue;
    double exposure_s = 0.0;
    try {
      exposure_s = parse_exposure_s(text, fps);
    } catch (const UsageError&) {
      parse_exposure_s(text, slowest);  // throws what is no exposure at all
      continue;
    }
    std::string label = text;
    for (const char* unit : {"degrees", "deg"}) {
      if (const std::size_t at = label.find(unit); at != std::string::npos) {
        label.resize(at);
        while (!label.empty() && label.back() == ' ') label.pop_back();
        label += "\u00b0";
      }
    }
    offers.push_back({exposure_s, label});
  }
  return each_offer_once(std::move(offers));
}

bool holds_whole_cycles(std::span<const LightShare> lights, double exposure_s) {
  const std::vector<Line> lines = lines_that_matter(lights);
  return !lines.empty() && std::all_of(lines.begin(), lines.end(), [&](const Line& line) {
    const double cycles = line.hz * exposure_s;
    return cycles > 0.5 && arithmetic::off_whole(cycles) <= off_whole_cycles * cycles;
  });
}

}  // namespace lampbeat::reasoning::shutters
