#include "reasoning/shutters/shutters_common.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "reasoning/camera/fits.hpp"
#include "reasoning/camera/shutter_words.hpp"
#include "reasoning/shutters/shutters_offers.hpp"
#include "words/lists.hpp"

namespace lampbeat::reasoning::shutters {

namespace {

using Offers = std::vector<const Setting*>;  // of one frame rate, shortest first

std::vector<Offers> offers_by_rate(const ShutterPlan& plan) {
  std::vector<Offers> all;
  auto next = plan.settings.begin();
  for (const FrameRateOutlook& outlook : plan.outlooks) {
    Offers offers;
    for (; next != plan.settings.end() && next->fps == outlook.fps; ++next) {
      offers.push_back(&*next);
    }
    std::sort(offers.begin(), offers.end(),
              [](const Setting* a, const Setting* b) { return a->exposure_s < b->exposure_s; });
    all.push_back(std::move(offers));
  }
  return all;
}

const Setting* offered(const Offers& offers, double exposure_s) {
  const auto from =
      std::lower_bound(offers.begin(), offers.end(), exposure_s * (1.0 - same_exposure),
                       [](const Setting* s, double least_s) { return s->exposure_s < least_s; });
  const bool same =
      from != offers.end() && (*from)->exposure_s <= exposure_s * (1.0 + same_exposure);
  return same ? *from : nullptr;
}

/// Of all clean settings, each exposure once.
std::vector<double> clean_exposures(const ShutterPlan& plan) {
  std::vector<double> exposures;
  for (const Setting& s : plan.settings) {
    if (is_clean(s.worst)) exposures.push_back(s.exposure_s);
  }
  std::sort(exposures.begin(), exposures.end());
  exposures.erase(std::unique(exposures.begin(), exposures.end(),
                              [](double a, double b) { return b <= a * (1.0 + same_exposure); }),
                  exposures.end());
  return exposures;
}

double stops_away(double exposure_s, const ShutterPlan& plan) {
  double stops = 0.0;
  for (const FrameRateOutlook& o : plan.outlooks) {
    stops += std::abs(std::log2(exposure_s / (0.5 * o.fps.frame_s())));
  }
  return stops;
}

}  // namespace

std::vector<CommonExposure> common_exposures(const ShutterPlan& plan, const judge::Judge& judge,
                                             bool listed) {
  const std::vector<Offers> by_rate = offers_by_rate(plan);
  std::vector<CommonExposure> common;
  for (const double exposure_s : clean_exposures(plan)) {
    CommonExposure candidate{exposure_s, {}};
    for (std::size_t i = 0; i < by_rate.size(); ++i) {
      const FrameRate fps = plan.outlooks[i].fps;
      const Setting* setting = offered(by_rate[i], exposure_s);
      const bool serves =
          setting ? is_clean(setting->worst)
                  : !listed && camera::fits(exposure_s, fps) && judge.clean(exposure_s, fps);
      if (!serves) break;
      candidate.labels.push_back(setting ? setting->label : "");
    }
    if (candidate.labels.size() == by_rate.size()) common.push_back(std::move(candidate));
  }
  std::stable_sort(common.begin(), common.end(),
                   [&](const CommonExposure& a, const CommonExposure& b) {
                     return stops_away(a.exposure_s, plan) < stops_away(b.exposure_s, plan);
                   });
  return common;
}

std::string common_words(const CommonExposure& common, const ShutterPlan& plan) {
  const auto in_degrees = [](const std::string& label) {
    return label.find("\u00b0") != std::string::npos;
  };
  const auto time =
      std::find_if(common.labels.begin(), common.labels.end(),
                   [&](const std::string& label) { return !label.empty() && !in_degrees(label); });
  if (time != common.labels.end()) return camera::shutter_words(*time, common.exposure_s);
  std::vector<std::string> angles;
  for (std::size_t i = 0; i < common.labels.size(); ++i) {
    if (!in_degrees(common.labels[i])) continue;
    angles.push_back(
        fmt::format("{} at {}", common.labels[i], frame_rate_label(plan.outlooks[i].fps)));
  }
  const std::string words =
      camera::shutter_words(exposure_label(common.exposure_s), common.exposure_s);
  return angles.empty() ? words : fmt::format("{} ({} fps)", words, words::listed(angles));
}

}  // namespace lampbeat::reasoning::shutters
