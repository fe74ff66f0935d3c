#include "reasoning/shutters/shutters_spans.hpp"

#include <algorithm>
#include <cmath>

#include "lampbeat/visibility.hpp"
#include "reasoning/mixture/series.hpp"

namespace lampbeat::reasoning::shutters {

namespace {

/// An instant is as good as no exposure at all: the fastest lights that matter (some 100 kHz) turn
/// by a tenth of a cycle in it.
constexpr double instant_s = 1e-6;
/// An end is told a hair inside of where it shows, so that another way to the same question (a look
/// from the other side, a rounded exposure) agrees.
constexpr double a_hair = 2e-6;

/// A sixteenth of a cycle of the fastest strong line of any scene: a lobe is a cycle wide.
double part_of_a_lobe(const judge::Judge& judge) {
  constexpr double parts = 16.0;
  constexpr double strong = 0.1;  // of the strongest: weaker lines make no lobes of their own
  double step_s = 1.0;
  for (const judge::Scene& scene : judge.scenes()) {
    double strongest = 0.0;
    for (const judge::MovingSeries& r : scene.rhythms) {
      strongest = std::max(strongest, mixture::strongest_amplitude(r.harmonics));
    }
    for (const judge::MovingSeries& r : scene.rhythms) {
      for (const mixture::Harmonic& h : r.harmonics) {
        if (std::abs(h.amplitude) < strong * strongest) continue;
        step_s = std::min(step_s, 1.0 / (parts * h.order * r.own_hz));
      }
    }
  }
  return step_s;
}

}  // namespace

CleanSpans::CleanSpans(const judge::Judge& judge, FrameRate fps)
    : judge_(judge), fps_(fps), step_s_(part_of_a_lobe(judge)) {
  for (const judge::Scene& scene : judge.scenes()) {
    ceilings_.emplace_back(scene, judge, std::vector<FrameRate>{fps});
  }
}

bool CleanSpans::surely_clean(double from_s, double to_s) {
  return std::all_of(ceilings_.begin(), ceilings_.end(), [&](judge::Ceilings& scene) {
    return scene.visibility(from_s, to_s, 0) < clean_below;
  });
}

bool CleanSpans::clean(double exposure_s) const { return judge_.clean(exposure_s, fps_); }

double CleanSpans::step_at(double exposure_s) const {
  constexpr double most_steps = 4000.0;  // keeps a fast line from making the walk endless
  return std::max(step_s_, exposure_s / most_steps);
}

/// Between one that is clean and one that is not: the last that is.
double CleanSpans::closed_in(double start_s, double good_s, double bad_s) const {
  while (std::abs(bad_s - good_s) > a_hair * good_s) {
    const double middle_s = 0.5 * (good_s + bad_s);
    (clean(middle_s) ? good_s : bad_s) = middle_s;
  }
  return clear_of_ripples(start_s, good_s);
}

/// Just where it ends, figures found by searching go up and down by some ten-thousandths: the end
/// is moved inside of that.
double CleanSpans::clear_of_ripples(double start_s, double end_s) const {
  constexpr int looks = 5;  // each twice as far inside as the one before: to 32 hairs
  constexpr int most_moves = 8;
  const double inwards = start_s < end_s ? -1.0 : 1.0;
  for (int move = 0; move < most_moves; ++move) {
    double off_s = a_hair * end_s;
    bool clear = true;
    for (int i = 0; i < looks && off_s < std::abs(end_s - start_s); ++i, off_s *= 2.0) {
      if (clean(end_s + inwards * off_s)) continue;
      clear = false;
      end_s += inwards * std::min(2.0 * off_s, std::abs(end_s - start_s));
      break;
    }
    if (clear) return end_s;
  }
  return start_s;
}

/// From an exposure that is clean towards a limit, as far as all is.
double CleanSpans::walked(double from_s, double limit_s) {
  const double towards = limit_s > from_s ? 1.0 : -1.0;
  double good_s = from_s;
  double chunk_s = std::abs(limit_s - from_s);
  while (good_s != limit_s) {
    const double fine_s = step_at(good_s);
    const double left_s = std::abs(limit_s - good_s);
    chunk_s = std::min(chunk_s, left_s);
    const double next_s = chunk_s < left_s ? good_s + towards * chunk_s : limit_s;
    if (surely_clean(std::min(good_s, next_s), std::max(good_s, next_s))) {
      good_s = next_s;
      chunk_s *= 2.0;
      continue;
    }
    if (chunk_s > fine_s) {
      chunk_s = std::max(fine_s, 0.25 * chunk_s);
      continue;
    }
    if (!clean(next_s)) return closed_in(from_s, good_s, next_s);
    good_s = next_s;
  }
  return limit_s;
}

Span CleanSpans::around(double exposure_s) {
  for (const Span& span : known_) {
    if (span.from_s <= exposure_s && exposure_s <= span.to_s) return span;
  }
  Span span{exposure_s, exposure_s};
  const double frame_s = fps_.frame_s();
  if (exposure_s < frame_s) span.to_s = walked(exposure_s, frame_s);
  const double shortest_s = std::min(instant_s, 0.5 * exposure_s);
  span.from_s = walked(exposure_s, shortest_s);
  if (span.from_s == shortest_s) span.from_s = 0.0;
  known_.push_back(span);
  return span;
}

void add_clean_spans(const std::vector<Setting*>& settings, const judge::Judge& judge) {
  std::optional<CleanSpans> spans;
  for (Setting* s : settings) {
    if (!is_clean(s->worst)) continue;
    if (!spans) spans.emplace(judge, s->fps);
    const Span span = spans->around(s->exposure_s);
    s->clean_from_s = span.from_s;
    s->clean_to_s = span.to_s;
  }
}

}  // namespace lampbeat::reasoning::shutters
