#include "reasoning/shutters/shutters_common.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "reasoning/camera/fits.hpp"
#include "reasoning/camera/shutter_words.hpp"
#include "reasoning/shutters/shutters_spans.hpp"
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

/// The clean spans of a frame rate's settings, each once.
std::vector<Span> clean_spans(const Offers& settings) {
  std::vector<Span> spans;
  for (const Setting* s : settings) {
    if (!s->clean_from_s || !s->clean_to_s) continue;
    const Span span{*s->clean_from_s, *s->clean_to_s};
    if (spans.empty() || span.from_s > spans.back().to_s) spans.push_back(span);
  }
  return spans;
}

/// What lies in one of these and in one of those.
std::vector<Span> in_both(const std::vector<Span>& some, const std::vector<Span>& others) {
  std::vector<Span> both;
  for (const Span& a : some) {
    for (const Span& b : others) {
      const Span part{std::max(a.from_s, b.from_s), std::min(a.to_s, b.to_s)};
      if (part.from_s <= part.to_s) both.push_back(part);
    }
  }
  return both;
}

/// The point of a stretch nearest to the middle of a span that every dial offers.
std::optional<double> middle_point(const Stretch& stretch, const Span& span,
                                   const std::vector<Dial>& dials) {
  constexpr std::int64_t most_tried = 20000;  // angles rarely meet at several frame rates
  const FrameRate fps = dials.front().fps;
  const double middle_s = 0.5 * (span.from_s + span.to_s);
  const std::int64_t middle = last_within(stretch.range, middle_s, fps);
  const auto serves = [&](std::int64_t point) {
    if (point < stretch.from || point > stretch.to) return false;
    const double exposure_s = exposure_at(stretch.range, point, fps);
    return exposure_s >= span.from_s && exposure_s <= span.to_s &&
           std::all_of(dials.begin(), dials.end(),
                       [&](const Dial& dial) { return offer_of(dial, exposure_s).has_value(); });
  };
  const std::int64_t first = last_within(stretch.range, span.from_s, fps);
  const std::int64_t last = last_within(stretch.range, span.to_s, fps);
  const std::int64_t reach = std::min(most_tried, std::max(middle - first, last - middle) + 1);
  for (std::int64_t off = 0; off <= reach; ++off) {
    for (const std::int64_t point : {middle - off, middle + off}) {
      if (serves(point)) return exposure_at(stretch.range, point, fps);
    }
  }
  return std::nullopt;
}

/// Points of ranges in the spans that all frame rates have in common.
std::vector<double> shared_points(const std::vector<Offers>& by_rate,
                                  const std::vector<Dial>& dials) {
  std::vector<double> points;
  if (dials.front().fine.empty()) return points;
  std::vector<Span> common = clean_spans(by_rate.front());
  for (std::size_t i = 1; i < by_rate.size(); ++i) {
    common = in_both(common, clean_spans(by_rate[i]));
  }
  for (const Span& span : common) {
    for (const Stretch& stretch : dials.front().fine) {
      if (const auto point = middle_point(stretch, span, dials)) points.push_back(*point);
    }
  }
  return points;
}

/// Of all clean settings, and those points, each exposure once.
std::vector<double> clean_exposures(const ShutterPlan& plan, std::vector<double> exposures) {
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
                                             const std::vector<Dial>& dials) {
  const std::vector<Offers> by_rate = offers_by_rate(plan);
  std::vector<CommonExposure> common;
  for (const double exposure_s : clean_exposures(plan, shared_points(by_rate, dials))) {
    CommonExposure candidate{exposure_s, {}};
    for (std::size_t i = 0; i < by_rate.size(); ++i) {
      const FrameRate fps = plan.outlooks[i].fps;
      const Setting* setting = offered(by_rate[i], exposure_s);
      const std::optional<Offer> offer = setting ? std::nullopt : offer_of(dials[i], exposure_s);
      const bool had = offer || (dials[i].open && camera::fits(exposure_s, fps));
      const bool serves = setting ? is_clean(setting->worst) : had && judge.clean(exposure_s, fps);
      if (!serves) break;
      candidate.labels.push_back(setting ? setting->label : offer ? offer->label : "");
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
