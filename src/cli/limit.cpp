#include "cli/limit.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace lampbeat::cli {

namespace {

bool has(const Findings& findings, const char* code) {
  return std::any_of(findings.begin(), findings.end(),
                     [&](const Finding& f) { return f.code == code; });
}

std::optional<double> larger(std::optional<double> a, std::optional<double> b) {
  if (a && b) return std::max(*a, *b);
  return a ? a : b;
}

}  // namespace

Depth depth_of(const Measurement& m) {
  if (m.percent_flicker) return {larger(m.percent_flicker, m.unexplained_percent), ""};
  // A recording flat at the end of its scale looks steady, and so does a lamp nothing reached.
  if (m.steady_below_percent && !has(m.warnings, "clipped")) {
    return {larger(m.steady_below_percent, m.unexplained_percent), ""};
  }
  return {std::nullopt, "how deep this light flickers was not measured"};
}

Depth depth_of(const Light& light, const FixtureRating& rating) {
  double unexplained = 0.0;
  for (const UnexplainedLight& band : light.unexplained) {
    unexplained = std::hypot(unexplained, 100.0 * band.rms);
  }
  if (has(light.findings, "clipped") && !rating.percent_flicker) {
    return {std::nullopt, "how deep this light flickers was not measured"};
  }
  return {std::max(rating.percent_flicker.value_or(light.noise_percent), unexplained), ""};
}

Depth depth_of(const FootageResult& f) {
  if (f.transfer_doubt) return {std::nullopt, "the curve this clip was read by is in doubt"};
  // Looked for and not found: the limit asks how deep it could be, not whether that would be seen.
  if (f.nothing_seen && f.smallest_seen_percent) return {f.smallest_seen_percent, ""};
  if (!f.verdict) return {std::nullopt, "what this clip shows was not decided"};
  return {larger(f.band_percent, f.pulse_percent), "no depth was measured in this clip"};
}

Depth depth_of(const Recorded& worst, std::span<const LightShare> lights) {
  double shares = 0.0;
  double missed = 0.0;
  for (const LightShare& l : lights) {
    shares += l.share;
    if (l.light.components.empty()) missed += l.share * l.light.noise_percent;
  }
  const double unseen = shares > 0.0 ? missed / shares : 0.0;
  return {std::max(worst.band_percent, worst.pulse_percent) + unseen, ""};
}

bool within(const Depth& depth, double limit_percent) {
  return depth.percent && *depth.percent <= limit_percent;
}

void hold_to_limit(const std::optional<double>& limit_percent, const Depth& depth,
                   const std::string& what, Session& session) {
  if (!limit_percent || within(depth, *limit_percent)) return;
  session.exit_code = std::max(session.exit_code, 1);
  note(session, depth.percent ? fmt::format("{}: {:.3g} % is over the limit of {:g} %", what,
                                            *depth.percent, *limit_percent)
                              : fmt::format("{} cannot be held against the limit of {:g} %: {}",
                                            what, *limit_percent, depth.why_unknown));
}

}  // namespace lampbeat::cli
