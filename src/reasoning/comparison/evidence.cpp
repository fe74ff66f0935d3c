#include "reasoning/comparison/evidence.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <utility>

#include "reasoning/comparison/conditions.hpp"
#include "reasoning/comparison/figure_changes.hpp"
#include "reasoning/comparison/filming_change.hpp"
#include "reasoning/comparison/rhythms.hpp"
#include "reasoning/comparison/steadiness.hpp"
#include "words/units.hpp"

namespace lampbeat::reasoning::comparison {

namespace {

Finding about(const char* side, const Finding& doubt) {
  return {doubt.code,
          fmt::format("{}: {}.", side,
                      doubt.message.substr(0, doubt.message.find_last_not_of(". ") + 1))};
}

Finding figure_finding(const FigureChange& figure) {
  std::string what = figure.before.what;
  what.front() = static_cast<char>(what.front() - 'a' + 'A');
  return {rose(figure) ? "deeper" : "shallower", fmt::format("{} {}.", what, course_words(figure))};
}

/// Depths that moved this way.
Findings moved_depths(const std::vector<FigureChange>& figures,
                      bool (*which)(const FigureChange&)) {
  Findings moved;
  for (const FigureChange& figure : figures) {
    const FigureRole role = figure.before.role;
    // Less of what has no ± proves nothing.
    const bool counts =
        role == FigureRole::depth || (role == FigureRole::rough_depth && rose(figure));
    if (counts && which(figure)) {
      moved.push_back(figure_finding(figure));
    }
  }
  return moved;
}

Finding class_finding(const Comparison& c, ClassChange change) {
  const char* was = filming_words(c.filming_before->filming);
  const char* is = filming_words(c.filming_after->filming);
  if (change == ClassChange::within_uncertainty) {
    return {"filming_at_an_edge",
            fmt::format("Filming is judged \"{}\" now and \"{}\" before, which is no more than the "
                        "measurement allows for: it lies at the edge between the two.",
                        is, was)};
  }
  return {change == ClassChange::worse ? "filming_worse" : "filming_better",
          fmt::format("Filming went from \"{}\" to \"{}\".", was, is)};
}

Finding rhythm_finding(const OccasionRhythm& rhythm) {
  return {"new_rhythm",
          fmt::format("A rhythm of {} at {} is new: before, it would have been seen.",
                      words::percent(rhythm.percent.value_or(0.0)), words::hertz(rhythm.hz))};
}

Finding deeper_finding(const DeeperRhythm& rhythm) {
  return {
      "deeper_rhythm",
      fmt::format("The rhythm at {} deepened from {} to {}.", words::hertz(rhythm.after.hz),
                  words::percent(*rhythm.before.percent), words::percent(*rhythm.after.percent))};
}

/// What keeps anything good from being proved.
Findings doubts_of(const Occasion& before, const Occasion& after) {
  Findings doubts;
  for (const Finding& doubt : before.doubts) doubts.push_back(about("Before", doubt));
  for (const Finding& doubt : after.doubts) doubts.push_back(about("After", doubt));
  if (const auto irregular = more_irregular(before, after)) doubts.push_back(*irregular);
  if (const auto states = other_states(before, after)) doubts.push_back(*states);
  if (const auto rhythm = perhaps_new(before, after)) {
    doubts.push_back(
        {"perhaps_new_rhythm",
         fmt::format(
             "After: a rhythm of {} at {} may be new: whether it would have been seen before "
             "is not known.",
             words::percent(rhythm->percent.value_or(0.0)), words::hertz(rhythm->hz))});
  }
  if (const auto rhythm = out_of_sight(before, after)) {
    doubts.push_back(
        {"looked_less_far",
         fmt::format("After: sampled too slowly to see the rhythm at {} that was there "
                     "before.",
                     words::hertz(rhythm->hz))});
  } else if (const auto less_far = looked_less_far(before, after)) {
    doubts.push_back(about("After", *less_far));
  }
  return doubts;
}

/// Whether both are known to be so steady that nobody could film the difference.
bool both_fit_at_any_shutter(const Comparison& c) {
  const auto fit = [](const std::optional<FilmingRating>& filming) {
    return filming && filming->filming == FilmingClass::any_shutter;
  };
  if (c.before->kind != OccasionKind::light) {
    return c.before->seen == Verdict::clean && c.after->seen == Verdict::clean;
  }
  return fit(c.filming_before) && fit(c.filming_after);
}

const FigureChange* leading_depth(const std::vector<FigureChange>& figures) {
  const auto found = std::find_if(figures.begin(), figures.end(), [](const FigureChange& f) {
    return f.before.role == FigureRole::depth;
  });
  return found == figures.end() ? nullptr : &*found;
}

bool other_rhythm(const Comparison& c) {
  return std::any_of(c.figures.begin(), c.figures.end(), [&](const FigureChange& figure) {
    return figure.before.role == FigureRole::rhythm &&
           moved_percent(figure, *c.before, *c.after).has_value();
  });
}

std::optional<Finding> moved_clock(const Comparison& c) {
  if (c.filming_after && c.filming_after->filming == FilmingClass::any_shutter) return {};
  for (const FigureChange& figure : c.figures) {
    if (figure.before.role != FigureRole::rhythm) continue;
    if (const auto percent = moved_percent(figure, *c.before, *c.after)) {
      return Finding{
          "rhythm_moved",
          fmt::format("The strongest rhythm moved by {}, from {} to {}: shutters matched "
                      "to it no longer fit.",
                      words::percent(*percent), words::hertz(*figure.before.value),
                      words::hertz(*figure.after.value))};
    }
  }
  return {};
}

std::string picture_words(const Occasion& before, const Occasion& after) {
  return fmt::format("In the picture: {} before, {} after.", verdict_word(*before.seen),
                     verdict_word(*after.seen));
}

std::optional<Finding> worse_picture(const Occasion& before, const Occasion& after) {
  if (!before.seen || !after.seen || *after.seen <= *before.seen) return std::nullopt;
  return Finding{"picture_worse", picture_words(before, after)};
}

/// What is computed from a room's lights has no ± of its own, and the models of vision are not
/// surer than the steps of their words: the words decide, and within one of them what is much.
Decision decide_place(const Comparison& c) {
  const Occasion& before = *c.before;
  const Occasion& after = *c.after;
  if (!before.seen || !after.seen) {
    return {ChangeVerdict::unknown, {{"place_undecided", "What would show there was not judged."}}};
  }
  const std::string course = picture_words(before, after);
  if (*after.seen > *before.seen) return {ChangeVerdict::worse, {{"picture_worse", course}}};
  if (*after.seen < *before.seen) return {ChangeVerdict::better, {{"picture_better", course}}};
  const Findings deeper = moved_depths(c.figures, rose);
  if (!deeper.empty() && *after.seen != Verdict::clean) return {ChangeVerdict::worse, deeper};
  return {ChangeVerdict::unchanged, {{"no_change", course}}};
}

Decision decided(ChangeVerdict verdict, Findings reasons, Findings more = {}) {
  std::move(more.begin(), more.end(), std::back_inserter(reasons));
  return {verdict, std::move(reasons)};
}

}  // namespace

Findings camera_changed(const std::vector<FigureChange>& figures) {
  Findings changed;
  for (const FigureChange& figure : figures) {
    if (figure.before.role != FigureRole::camera || !figure.changed.value_or(false)) continue;
    changed.push_back(
        {"set_up_changed", fmt::format("The camera's {} {}: the clips were not filmed alike.",
                                       figure.before.what, course_words(figure))});
  }
  return changed;
}

namespace {

/// Bands that fell may be the light's, or the shutter's.
bool shutter_not_said(const Occasion& occasion) {
  const Condition* shutter = condition_named(occasion, "shutter");
  return occasion.kind == OccasionKind::clip && shutter && !shutter->said;
}

Decision decide_light_or_clip(const Comparison& c) {
  const Occasion& before = *c.before;
  const Occasion& after = *c.after;
  const ClassChange filming = class_change(before, c.filming_before, after, c.filming_after);
  Findings deeper = moved_depths(c.figures, rose);
  Findings shallower = moved_depths(c.figures, fell);
  Findings doubts = doubts_of(before, after);
  const auto rhythm = new_rhythm(before, after);
  const auto deeper_one = deeper_rhythm(before, after);

  if (filming == ClassChange::worse) {
    return decided(ChangeVerdict::worse, {class_finding(c, filming)}, deeper);
  }
  const FigureChange* depth = leading_depth(c.figures);
  const auto moved = moved_clock(c);
  // Of one rhythm a deeper light films no better; and where nothing moved, nothing got better.
  const bool borne_out = other_rhythm(c) || (deeper.empty() && !shallower.empty());
  if (filming == ClassChange::better && doubts.empty() && borne_out) {
    // What it is filmed for got better, even where the light itself flickers deeper, and faster.
    return decided(ChangeVerdict::better, {class_finding(c, filming)},
                   deeper.empty() ? shallower : deeper);
  }
  if (!deeper.empty()) return decided(ChangeVerdict::worse, deeper, doubts);
  if (rhythm) return decided(ChangeVerdict::worse, {rhythm_finding(*rhythm)}, doubts);
  if (deeper_one) return decided(ChangeVerdict::worse, {deeper_finding(*deeper_one)}, doubts);
  if (auto picture = worse_picture(before, after)) {
    return decided(ChangeVerdict::worse, {*picture}, doubts);
  }
  if (!doubts.empty()) return decided(ChangeVerdict::unknown, doubts);

  const bool known = depth && depth->changed;
  if (!known && !both_fit_at_any_shutter(c)) {
    return decided(ChangeVerdict::unknown,
                   {{"depth_not_comparable",
                     "How deep it was and how deep it is were not both measured with a known "
                     "uncertainty."}});
  }
  if (!shallower.empty()) {
    return decided(ChangeVerdict::better, shallower, moved ? Findings{*moved} : Findings{});
  }
  if (moved) return decided(ChangeVerdict::worse, {*moved});
  Findings same = {{"no_change", "Nothing moved by more than the measurements may be off."}};
  if (filming != ClassChange::none) {
    same.push_back(class_finding(c, ClassChange::within_uncertainty));
  }
  return decided(ChangeVerdict::unchanged, std::move(same));
}

}  // namespace

Decision decide(const Comparison& c) {
  if (c.before->kind == OccasionKind::place) return decide_place(c);
  Decision decision = decide_light_or_clip(c);
  if (shutter_not_said(*c.before) && shutter_not_said(*c.after)) {
    decision.reasons.push_back({"shutter_taken_alike",
                                "Nobody said at which shutter they were filmed: it is taken to be "
                                "the same both times. Say --shutter to be sure."});
  }
  return decision;
}

}  // namespace lampbeat::reasoning::comparison
